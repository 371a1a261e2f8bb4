/* A disk that goes wrong on command, for one process: put before the C library by LD_PRELOAD.
 *
 * Only files below $FAULTY_UNDER are touched. What goes wrong is said by files in $FAULTY_WORD:
 *   full        its number of bytes is still taken, counted from when the file is first seen; what
 *               is more is ENOSPC, after a short write where part of it fits
 *   sync-fails  the next fdatasync is EIO; the file is removed then, so that it fails once
 *   sync-slow   fdatasync takes so many milliseconds longer
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static pthread_mutex_t guard = PTHREAD_MUTEX_INITIALIZER;
static long room = -1;

static int is_ours(int file) {
    const char *under = getenv("FAULTY_UNDER");
    char link[64], path[PATH_MAX];
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (!under || length < 0) return 0;
    path[length] = 0;
    return strncmp(path, under, strlen(under)) == 0;
}

/* The number in a control file; -1 where there is no such file. */
static long word(const char *name, int take) {
    const char *folder = getenv("FAULTY_WORD");
    char path[PATH_MAX], text[32] = {0};
    if (!folder) return -1;
    snprintf(path, sizeof path, "%s/%s", folder, name);
    int file = open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0) return -1;
    ssize_t length = read(file, text, sizeof text - 1);
    close(file);
    if (take) unlink(path);
    return length <= 0 ? 0 : atol(text);
}

ssize_t write(int file, const void *bytes, size_t count) {
    static ssize_t (*real)(int, const void *, size_t);
    if (!real) real = (ssize_t (*)(int, const void *, size_t))dlsym(RTLD_NEXT, "write");
    if (!is_ours(file)) return real(file, bytes, count);
    pthread_mutex_lock(&guard);
    long full = word("full", 0);
    if (full < 0) room = -1;
    else if (room < 0) room = full;
    size_t fits = room < 0 || (size_t)room >= count ? count : (size_t)room;
    ssize_t written = fits == 0 && count > 0 ? -1 : real(file, bytes, fits);
    int reason = written < 0 && fits == 0 ? ENOSPC : errno;
    if (room >= 0 && written > 0) room -= written;
    pthread_mutex_unlock(&guard);
    errno = reason;
    return written;
}

int fdatasync(int file) {
    static int (*real)(int);
    if (!real) real = (int (*)(int))dlsym(RTLD_NEXT, "fdatasync");
    if (!is_ours(file)) return real(file);
    long slow = word("sync-slow", 0);
    if (slow > 0) {
        struct timespec wait = {slow / 1000, slow % 1000 * 1000000L};
        nanosleep(&wait, NULL);
    }
    if (word("sync-fails", 1) >= 0) {
        errno = EIO;
        return -1;
    }
    return real(file);
}
