/* quantities.h - lengths, temperatures and times as a shop reads them, on pages with blanks that do not break. `to`
 * holds CQ_QUANTITY bytes. */
#ifndef CQ_REPORT_QUANTITIES_H
#define CQ_REPORT_QUANTITIES_H

enum { CQ_QUANTITY = 96 };

/* To the nearest 64th of an inch, in lowest terms: "7/16", "1 7/64", "0". */
char *cq_inch_fraction(double metres, char to[CQ_QUANTITY]);
/* "11.0 mm (7/16 in)"; below 1/64 in the inch is decimal: "0.05 mm (0.002 in)". */
char *cq_length_both(double metres, char to[CQ_QUANTITY]);
/* "800 °C (1472 °F)" */
char *cq_celsius_both(double kelvin, char to[CQ_QUANTITY]);
/* "3 s", "5 min", "1 h", "1.5 h" */
char *cq_time_words(double seconds, char to[CQ_QUANTITY]);

#endif
