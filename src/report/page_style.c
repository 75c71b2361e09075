/* page_style.c - the look of a page in a browser and on paper, and the few lines of script its films need.
 *
 * Text is dark on white with a contrast of at least 7 to 1; nothing is told by colour alone. Every rule works from a
 * phone of 320 pixels up. Without scripts, and on paper, a film is a strip of its key frames.
 */
#include "report/page.h"

static const char *const STYLE[] = {
    ":root{--ink:#1b2227;--soft:#4a555d;--rule:#b9c2c8;--wash:#f2f4f5;--deep:#173f4f;--heat:#8f2d0f;color-scheme:light}"
    "\n"
    "*{box-sizing:border-box}\n"
    "html{font:100%/1.5 system-ui,-apple-system,'Segoe UI','Noto Sans','Liberation Sans',sans-serif;color:var(--ink);"
    "background:#fff;-webkit-text-size-adjust:100%}\n"
    "body{margin:0 auto;padding:0 1rem 2rem;max-width:66rem;overflow-wrap:break-word}\n"
    "main:focus{outline:0}\n"
    ".skip{position:absolute;left:-100rem}.skip:focus{left:.5rem;top:.5rem;background:#fff;padding:.5rem;z-index:2}\n"
    "a{color:var(--deep)}:focus-visible{outline:3px solid var(--heat);outline-offset:2px}\n"
    ".top{border-bottom:.3rem solid var(--deep);padding:1.2rem 0 .6rem;margin-bottom:1rem}\n"
    ".kicker{margin:0;color:var(--soft);font-size:.9rem;letter-spacing:.02em}\n"
    "h1{margin:.1rem 0 .5rem;font-size:1.7rem;line-height:1.2;overflow-wrap:anywhere}\n"
    ".lead{margin:0;font-size:1.2rem;line-height:1.4;max-width:46rem}\n"
    "h2{margin:2.2rem 0 .6rem;font-size:1.25rem;line-height:1.25;color:var(--deep);border-bottom:1px solid var(--rule);"
    "padding-bottom:.2rem}\n"
    "p,li,dd{max-width:46rem}p{margin:.6rem 0}\n"
    "p bdi,h1 bdi,li bdi{overflow-wrap:anywhere}\n"
    "nav ul{list-style:none;margin:1rem 0 0;padding:0;display:flex;flex-wrap:wrap;gap:.2rem 1.1rem;font-size:.9rem}\n"
    "nav a{display:inline-block;padding:.25rem 0}\n",
    "figure{margin:1rem 0;min-width:0}\n"
    "figure svg,figure img{display:block;width:100%;height:auto;background:#fff;border:1px solid var(--rule);"
    "border-radius:.2rem}\n"
    "figcaption{font-size:.9rem;color:var(--soft);margin-top:.3rem;max-width:46rem}\n"
    ".pair{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(24rem,100%),1fr));gap:0 1.2rem}\n"
    ".pair+.pair{margin-top:0}section>figure,main>figure{max-width:38rem}figure.wide{max-width:60rem}.wide "
    ".table{margin:0}.wide svg{min-width:42rem}\n"
    ".table{overflow-x:auto;margin:1rem 0}.gauge .table{margin:0}section>figure.gauge{max-width:none}.gauge "
    "svg{width:var(--wide);max-width:none;border:0;border-radius:0}\n"
    "table{border-collapse:collapse;width:100%;font-size:.95rem}\n"
    "caption{text-align:start;font-weight:600;padding-bottom:.3rem}\n"
    "th,td{text-align:start;vertical-align:top;padding:.35rem .7rem .35rem 0;border-top:1px solid var(--rule)}\n"
    "thead th{border-top:0;border-bottom:2px solid var(--deep);vertical-align:bottom}\n"
    "tbody th{font-weight:600;min-width:6rem}\n"
    ".num td,.num thead th+th{text-align:end;font-variant-numeric:tabular-nums}\n"
    "data{white-space:nowrap}@media(min-width:40rem){.num td{white-space:nowrap}}\n"
    "@media(max-width:40rem){table{font-size:.82rem}th,td{padding-inline-end:.3rem}tbody th{min-width:2rem}}\n"
    ".blank td{border:1px solid var(--soft);padding:.35rem .5rem;height:2.6rem;min-width:4.5rem}.blank "
    "th{border-top:0}\n"
    ".warn{padding:.7rem 1rem .7rem 2.4rem;background:#fdf3ec;border-inline-start:.4rem solid var(--heat);margin:1rem "
    "0}\n"
    ".warn li{margin:.35rem 0}.warn li::marker{font-weight:700;color:var(--heat)}\n"
    "dl{margin:0}@media(min-width:48rem){dl{columns:2;column-gap:2rem}}\n"
    "dl div{break-inside:avoid;margin-bottom:.5rem}dt{font-weight:600}dd{margin:0}\n"
    "pre{overflow-x:auto;background:var(--wash);padding:.8rem;font-size:.85rem;line-height:1.45}\n"
    "summary{cursor:pointer;padding:.4rem 0;font-weight:600;color:var(--deep)}\n"
    ".ask{border-inline-start:.4rem solid var(--deep);background:var(--wash);padding:.4rem 1rem;margin:1rem 0}\n"
    ".ask details p{margin:.2rem 0 .6rem}.ask summary{display:inline-block}\n"
    ".try{margin:1rem 0}.try p{margin:.3rem 0}.try>pre{white-space:pre-wrap;margin:.2rem 0}h3{font-size:1rem}\n"
    "@media screen{.paper{display:none}}\n"
    "footer{margin-top:2.5rem;border-top:1px solid var(--rule);font-size:.9rem;color:var(--soft)}\n",
    ".frames{list-style:none;margin:0;padding:0;display:grid;gap:.8rem 1.2rem;"
    "grid-template-columns:repeat(auto-fill,minmax(min(18rem,100%),1fr))}\n"
    ".frames figure{margin:0}.frames li:not(.key){display:none}\n"
    ".live .frames{display:block;max-width:46rem}.live .frames li,.live .frames li.key{display:none}\n"
    ".live .frames li.shown{display:block}\n"
    ".reel{display:flex;flex-wrap:wrap;gap:.6rem;align-items:center;margin:0 0 .6rem;max-width:46rem}\n"
    ".reel button{font:inherit;min-width:5.5rem;min-height:2.75rem;border:1px solid var(--deep);background:var(--deep);"
    "color:#fff;border-radius:.3rem;cursor:pointer}\n"
    ".reel label{flex:1 1 12rem;display:flex;gap:.6rem;align-items:center}\n"
    ".reel input{flex:1;min-width:6rem;height:2.75rem;accent-color:var(--deep)}\n"
    ".reel output{min-width:4.5rem;font-variant-numeric:tabular-nums}\n"
    "@media(min-width:82rem){body{max-width:80rem;display:grid;grid-template-columns:11rem minmax(0,66rem);gap:0 2rem}"
    ".skip{grid-area:1/1}nav{grid-area:1/1}main{grid-area:1/2}footer{grid-area:2/1/3/3}nav "
    "ul{display:block;position:sticky;top:1.2rem;margin-top:1.2rem}"
    "nav li{margin:.15rem 0}}\n",
    "@media "
    "print{html{font-size:9.5pt}body{max-width:none;display:block;padding:0}nav,.skip,.reel,details{display:none}\n"
    ".pair{grid-template-columns:1fr 1fr}.frames,.live .frames{display:grid;max-width:none;"
    "grid-template-columns:1fr 1fr}\n"
    ".live .frames li,.live .frames li.shown{display:none}.live .frames li.key,.frames li.key{display:block}\n"
    ".wide svg{min-width:0}.table{overflow:visible;break-inside:avoid}h2{break-after:avoid}figure,tr,.warn li,.frames "
    "li,.ask,.try{break-inside:avoid}h3{break-after:avoid}pre{white-space:pre-wrap}\n"
    "*{-webkit-print-color-adjust:exact;print-color-adjust:exact}}\n",
};

/* A film: play and pause, a slider over the frames; starts at the first and stands still until asked, as does a page
 * whose reader wants less motion. */
static const char *const SCRIPT =
    "document.querySelectorAll('.film').forEach(function(film){\n"
    "var frames=[].slice.call(film.querySelectorAll('.frames>li')),at=0,timer=0;\n"
    "if(frames.length<2)return;\n"
    "var "
    "reel=document.createElement('div'),play=document.createElement('button'),label=document.createElement('label'),"
    "range=document.createElement('input'),time=document.createElement('output'),word=document.createElement('span');\n"
    "reel.className='reel';play.type='button';range.type='range';range.min=0;range.max=frames.length-1;range.step=1;\n"
    "word.textContent='moment';label.append(word,range);reel.append(play,label,time);film.prepend(reel);\n"
    "film.classList.add('live');\n"
    "function caption(i){return frames[i].querySelector('figcaption').textContent}\n"
    "function show(i){frames[at].classList.remove('shown');at=i;frames[at].classList.add('shown');range.value=at;"
    "time.textContent=caption(at).split(':')[0];range.setAttribute('aria-valuetext',caption(at))}\n"
    "function stop(){clearInterval(timer);timer=0;play.textContent='Play'}\n"
    "play.addEventListener('click',function(){if(timer){stop();return}if(at==frames.length-1)show(0);"
    "play.textContent='Pause';timer=setInterval(function(){if(at==frames.length-1)stop();else show(at+1)},350)});\n"
    "range.addEventListener('input',function(){stop();show(+range.value)});\n"
    "stop();show(0)});\n";

void cq_page_style(cq_text *to, const cq_page_wish *wish) {
    for (size_t n = 0; n < sizeof STYLE / sizeof STYLE[0]; n++) {
        cq_text_add(to, "%s", STYLE[n]);
    }
    cq_text_add(to, "@page{size:%s;margin:16mm 16mm 18mm}\n", wish->paper == CQ_PAPER_LETTER ? "letter" : "A4");
}

void cq_page_script(cq_text *to) {
    cq_text_add(to, "%s", SCRIPT);
}
