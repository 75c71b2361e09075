/* pi.h - the one pi; M_PI is no C17. */
#ifndef CQ_BASE_PI_H
#define CQ_BASE_PI_H

#define CQ_PI 3.14159265358979323846

#endif
