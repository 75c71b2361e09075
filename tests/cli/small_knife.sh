# small_knife.sh - a plan for tests of searches: coarse, some 3 ms a run. Source it.
write_small_knife() {
    cat >"$1" <<'PLAN'
format: clayquench-plan 1
title: Small knife
blade: {section: flat, height: 20 mm, edge: 1 mm, spine: 3 mm, length: 100 mm}
steel: 1084
clay: # the smith's own words
  mix: stone-charcoal-clay # fine
  coat: [{at: 0 mm, thickness: 0.05 mm}, {at: 6 mm, thickness: 0.05 mm}, {at: 8 mm, thickness: 2 mm}, {at: 20 mm, thickness: 2 mm}]
  edge: 0.05 mm
  spine: 2 mm
heat: {temperature: 800 °C, error: 12 K}
steps: [{in: air, for: 1 s}, {in: water, at: 40 °C, for: 3 s}, {in: air, for: 2 s}, {in: water, at: 40 °C, until: 60 °C}]
tolerances: {coat: 15 %, clay-conductivity: 20 %, nose: 20 %, time: 0.3 s} # kept
grid: {along: 12, across: 2, clay: 2}
PLAN
}
