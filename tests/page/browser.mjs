// Opens pages in chromium as a phone, a laptop and paper would have them. Arguments: folder of node modules, chromium,
// page... Prints what is wrong; exits 1 if anything is.
import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

const [modules, program, ...pages] = process.argv.slice(2);
const require = createRequire(path.join(path.resolve(modules), 'x.js'));
const { chromium } = require('playwright-core');
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
let faults = 0;

function expect(good, words) {
  if (!good) {
    console.log('FAILED:', words);
    faults++;
  }
}

async function open(browser, file, options) {
  const page = await browser.newPage(options);
  const name = `${path.basename(file)} at ${options.viewport.width}`;
  page.on('console', (m) => expect(m.type() !== 'error' && m.type() !== 'warning', `${name}: console: ${m.text()}`));
  page.on('pageerror', (e) => expect(false, `${name}: ${e}`));
  page.on('dialog', (d) => { expect(false, `${name}: a dialog: ${d.message()}`); d.dismiss(); });
  page.on('request', (r) => expect(/^(data|file):/.test(r.url()), `${name} asks for ${r.url()}`));
  await page.goto(pathToFileURL(path.resolve(file)).href);
  return [page, name];
}

async function fits(page, name) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  expect(wide <= 0, `${name}: ${wide} pixels wider than the screen`);
}

async function accessible(page, name) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }));
  for (const v of found.violations) {
    const words = `${name}: axe ${v.impact} ${v.id}: ${v.help}: ${v.nodes[0].html.slice(0, 120)}`;
    expect(!['serious', 'critical'].includes(v.impact), words);
    console.log(words);
  }
  return found.passes.length;
}

const shown = (page) => page.$$eval('.frames>li', (all) => all.flatMap((li, n) => (li.offsetHeight > 0 ? [n] : [])));

async function film(page, name) {
  if ((await page.$('.film')) === null) return;
  const slider = page.getByRole('slider');
  expect(JSON.stringify(await shown(page)) === '[0]', `${name}: the film does not begin with its first frame`);
  await slider.focus();
  await page.keyboard.press('ArrowRight');
  expect(JSON.stringify(await shown(page)) === '[1]', `${name}: the slider does not move the film`);
  expect(/\ss: edge/.test(await slider.getAttribute('aria-valuetext')), `${name}: the slider says no moment`);
  await page.keyboard.press('End');
  const last = (await page.$$('.frames>li')).length - 1;
  expect(JSON.stringify(await shown(page)) === `[${last}]`, `${name}: no last frame`);
  await page.getByRole('button', { name: 'Play' }).click();
  await page.waitForFunction(() => document.querySelector('.frames>li:nth-child(3)').offsetHeight > 0, null, { timeout: 5000 });
  await page.getByRole('button', { name: 'Pause' }).click();
  await page.emulateMedia({ media: 'print' });
  expect((await shown(page)).length >= 5, `${name}: no strip of frames on paper`);
  expect(!(await page.locator('.reel').isVisible()), `${name}: buttons on paper`);
  await page.emulateMedia({ media: 'screen' });
}

// A lesson: answers unfold, plans can be saved, and paper has both whole.
async function lesson(page, name) {
  if ((await page.$('.ask')) === null) return;
  const answer = page.locator('.ask details p').first();
  expect(!(await answer.isVisible()), `${name}: an answer is shown before it is asked for`);
  await page.locator('.ask summary').first().press('Enter');
  expect(await answer.isVisible(), `${name}: an answer does not unfold`);
  expect(!(await page.locator('#answers').isVisible()), `${name}: all answers stand on the screen`);
  await page.locator('#plan-lesson-plate summary').click();
  const [saved] = await Promise.all([page.waitForEvent('download'), page.locator('#plan-lesson-plate a').click()]);
  expect(saved.suggestedFilename() === 'my-lesson-plate.yaml', `${name}: saved as ${saved.suggestedFilename()}`);
  await accessible(page, `${name}, unfolded`);
  await fits(page, `${name}, unfolded`);
  await page.emulateMedia({ media: 'print' });
  expect(await page.locator('#answers li').last().isVisible(), `${name}: no answers on paper`);
  expect(await page.locator('#plans pre').last().isVisible(), `${name}: no plans on paper`);
  expect(!(await answer.isVisible()), `${name}: an answer beside its question on paper`);
  await page.emulateMedia({ media: 'screen' });
}

const browser = await chromium.launch({ executablePath: program, args: ['--no-sandbox'] });
for (const file of pages) {
  for (const viewport of [{ width: 390, height: 844 }, { width: 1366, height: 768 }]) {
    const [page, name] = await open(browser, file, { viewport });
    await fits(page, name);
    await accessible(page, name);
    await film(page, name);
    await lesson(page, name);
    await page.close();
  }
  const [plain, name] = await open(browser, file, { viewport: { width: 390, height: 844 }, javaScriptEnabled: false });
  if ((await plain.locator('.film').count()) > 0) {
    const all = await plain.locator('.frames>li').count();
    let visible = 0;
    for (let n = 0; n < all; n++) visible += (await plain.locator('.frames>li').nth(n).isVisible()) ? 1 : 0;
    expect(visible >= 5 && visible < all, `${name}, no scripts: ${visible} of ${all} frames`);
  }
  expect((await plain.locator('.lead').innerText()).length > 20, `${name}, no scripts: no answer`);
  await plain.close();
}
await browser.close();
console.log(faults === 0 ? `${pages.length} pages as expected` : `${faults} faults`);
process.exit(faults === 0 ? 0 : 1);
