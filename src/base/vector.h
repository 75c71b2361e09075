/* vector.h - build a hot kernel for several instruction sets and let the loader choose.
 *
 * Only the kernels' speed depends on the machine; on one machine two runs give the same bits. Sanitizers and compilers
 * without function multiversioning get the plain version.
 */
#ifndef CQ_BASE_VECTOR_H
#define CQ_BASE_VECTOR_H

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) &&               \
    !defined(__SANITIZE_THREAD__) && !defined(CQ_PLAIN_KERNELS)
#define CQ_VECTOR_KERNEL __attribute__((target_clones("arch=x86-64-v4", "arch=x86-64-v3", "default")))
#else
#define CQ_VECTOR_KERNEL
#endif

/* Before a loop whose passes do not touch each other's results: compilers honour `restrict` of parameters only, and
 * would test every pair of a row's arrays for overlap before each row. */
#if defined(__GNUC__) && !defined(__clang__)
#define CQ_INDEPENDENT _Pragma("GCC ivdep")
#else
#define CQ_INDEPENDENT
#endif

enum { CQ_LANES = 8 }; /* systems solved side by side: one AVX-512 vector of doubles */

#endif
