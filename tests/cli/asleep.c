/* Lets one process believe that the machine was asleep: loaded before the C library, it adds the seconds that
 * stand in the file ASLEEP_FILE to CLOCK_BOOTTIME and CLOCK_REALTIME. CLOCK_MONOTONIC and whoever waits by it
 * stand still meanwhile, as clock_gettime(2) has it. Without a file nothing is added. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <stdlib.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

static long asleep_s(void) {
    char text[32] = {0};
    const char *name = getenv("ASLEEP_FILE");
    int file = name ? open(name, O_RDONLY | O_CLOEXEC) : -1;
    if (file < 0) return 0;
    ssize_t count = read(file, text, sizeof text - 1);
    close(file);
    return count > 0 ? atol(text) : 0;
}

int clock_gettime(clockid_t clock, struct timespec *now) {
    static int (*real)(clockid_t, struct timespec *);
    if (!real) real = (int (*)(clockid_t, struct timespec *))dlsym(RTLD_NEXT, "clock_gettime");
    int failed = real(clock, now);
    if (!failed && (clock == CLOCK_BOOTTIME || clock == CLOCK_REALTIME || clock == CLOCK_REALTIME_COARSE))
        now->tv_sec += asleep_s();
    return failed;
}

int gettimeofday(struct timeval *restrict now, void *restrict zone) {
    struct timespec exact;
    (void)zone;
    if (clock_gettime(CLOCK_REALTIME, &exact)) return -1;
    now->tv_sec = exact.tv_sec;
    now->tv_usec = exact.tv_nsec / 1000;
    return 0;
}

time_t time(time_t *out) {
    struct timespec exact;
    clock_gettime(CLOCK_REALTIME, &exact);
    if (out) *out = exact.tv_sec;
    return exact.tv_sec;
}
