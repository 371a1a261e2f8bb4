/* Kills the program before its n-th change to files below $KILL_UNDER, or half way through it where that is a
 * write: put before the C library by LD_PRELOAD. $KILL_AT is n, from 1. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static long changes;

static int is_under(const char *path) {
    const char *under = getenv("KILL_UNDER");
    char whole[2 * PATH_MAX], folder[PATH_MAX];
    if (!under || !path) return 0;
    if (path[0] == '/') snprintf(whole, sizeof whole, "%s", path);
    else if (getcwd(folder, sizeof folder)) snprintf(whole, sizeof whole, "%s/%.*s", folder, PATH_MAX - 2, path);
    else return 0;
    return strncmp(whole, under, strlen(under)) == 0;
}

static int is_ours(int file) {
    char link[64], path[PATH_MAX];
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0) return 0;
    path[length] = 0;
    return is_under(path);
}

static int is_now(void) {
    const char *at = getenv("KILL_AT");
    return at && ++changes == atol(at);
}

static void change(void) {
    if (is_now()) raise(SIGKILL);
}

#define REAL(type, name, ...) \
    static type (*real)(__VA_ARGS__); \
    if (!real) real = (type (*)(__VA_ARGS__))dlsym(RTLD_NEXT, name)

static int opened(const char *name, const char *path, int flags, mode_t mode) {
    int (*real)(const char *, int, ...) = (int (*)(const char *, int, ...))dlsym(RTLD_NEXT, name);
    if ((flags & (O_CREAT | O_TRUNC)) && is_under(path)) change();
    return real(path, flags, mode);
}

int open(const char *path, int flags, ...) {
    va_list more;
    va_start(more, flags);
    mode_t mode = flags & O_CREAT ? (mode_t)va_arg(more, int) : 0;
    va_end(more);
    return opened("open", path, flags, mode);
}

int open64(const char *path, int flags, ...) {
    va_list more;
    va_start(more, flags);
    mode_t mode = flags & O_CREAT ? (mode_t)va_arg(more, int) : 0;
    va_end(more);
    return opened("open64", path, flags, mode);
}

ssize_t write(int file, const void *bytes, size_t count) {
    REAL(ssize_t, "write", int, const void *, size_t);
    if (is_ours(file) && is_now()) {
        if (count > 1) (void)!real(file, bytes, count / 2);
        raise(SIGKILL);
    }
    return real(file, bytes, count);
}

int rename(const char *from, const char *to) {
    REAL(int, "rename", const char *, const char *);
    if (is_under(to)) change();
    return real(from, to);
}

int unlink(const char *path) {
    REAL(int, "unlink", const char *);
    if (is_under(path)) change();
    return real(path);
}

int rmdir(const char *path) {
    REAL(int, "rmdir", const char *);
    if (is_under(path)) change();
    return real(path);
}

int mkdir(const char *path, mode_t mode) {
    REAL(int, "mkdir", const char *, mode_t);
    if (is_under(path)) change();
    return real(path, mode);
}

int fsync(int file) {
    REAL(int, "fsync", int);
    if (is_ours(file)) change();
    return real(file);
}
