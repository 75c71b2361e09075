/* glow_words.h - what the screen, the JSON and the picture of hot steel's colours share. */
#ifndef CQ_REPORT_GLOW_WORDS_H
#define CQ_REPORT_GLOW_WORDS_H

#include <clayquench/report_glow.h>

/* Where tables and pictures begin and end. */
#define CQ_GLOW_FIRST_K 773.15
#define CQ_GLOW_LAST_K 1573.15

/* "#d84d00" */
enum { CQ_HEX = 8 };
const char *cq_glow_hex(const double srgb[3], char to[CQ_HEX]);

/* How much brighter a piece gets with 1 K, relative, 1/K. */
double cq_glow_brighter_per_K(double temp_K);

/* How much colder scale-free metal (emissivity 0.35) looks than scale beside it, K. */
double cq_glow_bare_colder_K(double temp_K);

#endif
