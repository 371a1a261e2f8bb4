/* A disk with a countdown: put before the C library by LD_PRELOAD. Only files below $KILL_UNDER are counted.
 *
 *   KILL_AT       ends the program before its n-th change, or half way through it where that is a write
 *   FAIL_AT       refuses the n-th operation, readings and locks among them; a write has written its half then
 *   FAIL_FOR_EVER as FAIL_AT, and every operation after it too
 *   FAIL_WITH     the error's number
 *   FAILED_TO     a file that is made when anything is refused
 *   SYNCED_TO     a file to which every sync of a file adds a line: how long it is, and its path; the system's own
 *                 sync is left out, since a program that ends loses nothing that it has written
 *   TRACED_TO     a file to which every change of a name and every sync adds a line, its parts between tabs: C number
 *                 path, a new file; S number bytes, a file's sync, with all its bytes in hexadecimal digits; L number,
 *                 one that was refused; F path, a folder's sync; R from to, a new name; H from to, a second one; U path,
 *                 a file and X path, a folder that goes; D path, a new folder
 *
 * n is from 1. */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

static long changes, operations;

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
    /* A pipe has no path. */
    return path[0] == '/' && is_under(path);
}

static int is_now(void) {
    const char *at = getenv("KILL_AT");
    return at && __sync_add_and_fetch(&changes, 1) == atol(at);
}

/* Past the functions below. */
static void add_line(const char *name, const char *line) {
    const char *path = getenv(name);
    if (!path) return;
    int file = (int)syscall(SYS_openat, AT_FDCWD, path, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    if (file < 0) return;
    (void)!syscall(SYS_write, file, line, strlen(line));
    syscall(SYS_close, file);
}

static const char *whole_path(const char *path, char *into) {
    char folder[PATH_MAX];
    if (path[0] == '/') snprintf(into, 2 * PATH_MAX, "%s", path);
    else if (getcwd(folder, sizeof folder)) snprintf(into, 2 * PATH_MAX, "%s/%.*s", folder, PATH_MAX - 2, path);
    else into[0] = 0;
    return into;
}

/* A line on names; gives back what the system said. */
static int named(int result, const char *what, const char *path, const char *to) {
    char first[2 * PATH_MAX], second[2 * PATH_MAX], line[4 * PATH_MAX + 16];
    if (result != 0 || !getenv("TRACED_TO") || !is_under(to ? to : path)) return result;
    if (to) snprintf(line, sizeof line, "%s\t%s\t%s\n", what, whole_path(path, first), whole_path(to, second));
    else snprintf(line, sizeof line, "%s\t%s\n", what, whole_path(path, first));
    add_line("TRACED_TO", line);
    return result;
}

static void made(int file, const char *path) {
    char whole[2 * PATH_MAX], line[2 * PATH_MAX + 64];
    struct stat about;
    if (file < 0 || fstat(file, &about) != 0) return;
    snprintf(line, sizeof line, "C\t%llu\t%s\n", (unsigned long long)about.st_ino, whole_path(path, whole));
    add_line("TRACED_TO", line);
}

static void brought(int file, int refused) {
    struct stat about;
    if (!getenv("TRACED_TO") || fstat(file, &about) != 0) return;
    char start[64], link[64], path[PATH_MAX];
    if (S_ISDIR(about.st_mode)) {
        snprintf(link, sizeof link, "/proc/self/fd/%d", file);
        ssize_t length = readlink(link, path, sizeof path - 1);
        if (length < 0 || refused) return;
        path[length] = 0;
        named(0, "F", path, NULL);
        return;
    }
    snprintf(start, sizeof start, "%s\t%llu", refused ? "L" : "S", (unsigned long long)about.st_ino);
    size_t size = refused ? 0 : (size_t)about.st_size;
    unsigned char *bytes = malloc(size + 1);
    char *line = malloc(strlen(start) + 2 * size + 8);
    if (!bytes || !line) abort();
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    /* It may be open for writing alone. */
    int again = (int)syscall(SYS_openat, AT_FDCWD, link, O_RDONLY | O_CLOEXEC, 0);
    if (again < 0 || syscall(SYS_read, again, bytes, size) != (long)size) abort();
    syscall(SYS_close, again);
    char *end = stpcpy(line, start);
    *end++ = '\t';
    for (size_t at = 0; at < size; at++) end += sprintf(end, "%02x", bytes[at]);
    strcpy(end, "\n");
    add_line("TRACED_TO", line);
    free(bytes);
    free(line);
}

static int is_refused(void) {
    const char *once = getenv("FAIL_AT"), *for_ever = getenv("FAIL_FOR_EVER"), *with = getenv("FAIL_WITH");
    if (!once && !for_ever) return 0;
    long number = __sync_add_and_fetch(&operations, 1);
    if (once ? number != atol(once) : number < atol(for_ever)) return 0;
    add_line("FAILED_TO", "refused\n");
    errno = with ? atoi(with) : EIO;
    return 1;
}

/* Counts a change; says whether it is refused. */
static int change(void) {
    if (is_now()) raise(SIGKILL);
    return is_refused();
}

static void synced(int file) {
    char link[64], path[PATH_MAX], line[PATH_MAX + 32];
    struct stat about;
    if (!getenv("SYNCED_TO") || fstat(file, &about) != 0) return;
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0) return;
    path[length] = 0;
    snprintf(line, sizeof line, "%lld %s\n", (long long)about.st_size, path);
    add_line("SYNCED_TO", line);
}

#define REAL(type, name, ...) \
    static type (*real)(__VA_ARGS__); \
    if (!real) real = (type (*)(__VA_ARGS__))dlsym(RTLD_NEXT, name)

static int opened(const char *name, const char *path, int flags, mode_t mode) {
    int (*real)(const char *, int, ...) = (int (*)(const char *, int, ...))dlsym(RTLD_NEXT, name);
    if (is_under(path)) {
        if (flags & (O_CREAT | O_TRUNC) ? change() : is_refused()) return -1;
        if (flags & O_CREAT && getenv("TRACED_TO") && access(path, F_OK) != 0) {
            int file = real(path, flags, mode);
            made(file, path);
            return file;
        }
    }
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
    if (is_ours(file)) {
        if (is_now()) {
            if (count > 1) (void)!real(file, bytes, count / 2);
            raise(SIGKILL);
        }
        if (is_refused()) {
            int reason = errno;
            if (count > 1) (void)!real(file, bytes, count / 2);
            errno = reason;
            return -1;
        }
    }
    return real(file, bytes, count);
}

ssize_t read(int file, void *bytes, size_t count) {
    REAL(ssize_t, "read", int, void *, size_t);
    if (is_ours(file) && is_refused()) return -1;
    return real(file, bytes, count);
}

ssize_t pread(int file, void *bytes, size_t count, off_t from) {
    REAL(ssize_t, "pread", int, void *, size_t, off_t);
    if (is_ours(file) && is_refused()) return -1;
    return real(file, bytes, count, from);
}

ssize_t pread64(int file, void *bytes, size_t count, off64_t from) {
    REAL(ssize_t, "pread64", int, void *, size_t, off64_t);
    if (is_ours(file) && is_refused()) return -1;
    return real(file, bytes, count, from);
}

int rename(const char *from, const char *to) {
    REAL(int, "rename", const char *, const char *);
    if (is_under(to) && change()) return -1;
    return named(real(from, to), "R", from, to);
}

int linkat(int from_folder, const char *from, int to_folder, const char *to, int flags) {
    REAL(int, "linkat", int, const char *, int, const char *, int);
    if (is_under(to) && change()) return -1;
    return named(real(from_folder, from, to_folder, to, flags), "H", from, to);
}

int unlink(const char *path) {
    REAL(int, "unlink", const char *);
    if (is_under(path) && change()) return -1;
    return named(real(path), "U", path, NULL);
}

int rmdir(const char *path) {
    REAL(int, "rmdir", const char *);
    if (is_under(path) && change()) return -1;
    return named(real(path), "X", path, NULL);
}

int mkdir(const char *path, mode_t mode) {
    REAL(int, "mkdir", const char *, mode_t);
    if (is_under(path) && change()) return -1;
    return named(real(path, mode), "D", path, NULL);
}

int ftruncate64(int file, off64_t length) {
    REAL(int, "ftruncate64", int, off64_t);
    if (is_ours(file) && change()) return -1;
    return real(file, length);
}

int flock(int file, int how) {
    REAL(int, "flock", int, int);
    if (is_ours(file) && change()) return -1;
    return real(file, how);
}

DIR *opendir(const char *path) {
    REAL(DIR *, "opendir", const char *);
    if (is_under(path) && is_refused()) return NULL;
    return real(path);
}

int fsync(int file) {
    REAL(int, "fsync", int);
    if (is_ours(file)) {
        if (change()) {
            int reason = errno;
            brought(file, 1);
            errno = reason;
            return -1;
        }
        brought(file, 0);
        synced(file);
    }
    return getenv("SYNCED_TO") ? 0 : real(file);
}

int fdatasync(int file) {
    REAL(int, "fdatasync", int);
    if (is_ours(file)) {
        if (change()) {
            int reason = errno;
            brought(file, 1);
            errno = reason;
            return -1;
        }
        brought(file, 0);
        synced(file);
    }
    return getenv("SYNCED_TO") ? 0 : real(file);
}
