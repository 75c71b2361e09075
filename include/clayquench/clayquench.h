/* clayquench.h - everything at once. */
#ifndef CLAYQUENCH_CLAYQUENCH_H
#define CLAYQUENCH_CLAYQUENCH_H

#include <clayquench/bath.h>
#include <clayquench/bath_card.h>
#include <clayquench/crack_advice.h>
#include <clayquench/evidence.h>
#include <clayquench/fold.h>
#include <clayquench/glow.h>
#include <clayquench/inverse.h>
#include <clayquench/io.h>
#include <clayquench/lay.h>
#include <clayquench/lesson.h>
#include <clayquench/material.h>
#include <clayquench/plan.h>
#include <clayquench/quench.h>
#include <clayquench/report.h>
#include <clayquench/report_bath.h>
#include <clayquench/report_compare.h>
#include <clayquench/report_fold.h>
#include <clayquench/report_glow.h>
#include <clayquench/report_kit.h>
#include <clayquench/report_lay.h>
#include <clayquench/report_lesson.h>
#include <clayquench/report_map.h>
#include <clayquench/report_page.h>
#include <clayquench/report_spread.h>
#include <clayquench/report_tune.h>
#include <clayquench/report_why.h>
#include <clayquench/section.h>
#include <clayquench/spread.h>
#include <clayquench/status.h>
#include <clayquench/steel_card.h>
#include <clayquench/table.h>
#include <clayquench/tune.h>
#include <clayquench/vary.h>
#include <clayquench/why.h>
#include <clayquench/zones.h>

#endif
