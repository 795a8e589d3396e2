/* Stands between a program and the C library, and writes down what is done to
 * the files below one folder: writes, cuts, syncs, names made and taken away.
 *
 * TORTURE_ROOT  the folder
 * TORTURE_LOG   the file that records are added to
 *
 * A record is written in one piece, so that several processes may share a log.
 * Writes are recorded under a lock when they are done; a sync is recorded when
 * it begins and when it has ended, for only what was written before it began
 * is sure to be on disk when it ends. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/uio.h>
#include <unistd.h>

enum { CREATED = 1, WROTE, CUT, SYNC_BEGAN, SYNCED, UNLINKED, RENAMED };
enum { FILES = 4096, PATH = 1024 };

struct head {
    uint32_t kind, pid, path_bytes, tag;
    uint64_t offset, bytes;
};

static char root[PATH];
static size_t root_bytes;
static int log_file = -1;
static char *paths[FILES];
static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static uint32_t syncs;

#define REAL(name) ((typeof(&name))real(#name))
static void *real(const char *name) { return dlsym(RTLD_NEXT, name); }

__attribute__((constructor)) static void begin(void) {
    const char *where = getenv("TORTURE_ROOT"), *log = getenv("TORTURE_LOG");
    if (!where || !log) return;
    snprintf(root, sizeof root, "%s", where);
    log_file = REAL(open)(log, O_WRONLY | O_APPEND | O_CREAT | O_CLOEXEC, 0644);
    root_bytes = log_file < 0 ? 0 : strlen(root);
}

static int ours(const char *path) {
    return root_bytes && !strncmp(path, root, root_bytes) && (!path[root_bytes] || path[root_bytes] == '/');
}

static const char *of(int fd) { return fd >= 0 && fd < FILES ? paths[fd] : NULL; }

static void record(uint32_t kind, uint32_t tag, const char *path, uint64_t offset, const void *data, uint64_t bytes) {
    struct head head = { kind, (uint32_t)getpid(), (uint32_t)strlen(path), tag, offset, bytes };
    struct iovec parts[3] = { { &head, sizeof head }, { (void *)path, head.path_bytes },
                              { (void *)data, data ? bytes : 0 } };
    int kept = errno;
    if (REAL(writev)(log_file, parts, 3) < 0) _exit(97);
    errno = kept;
}

static void opened(int fd, const char *path, int made, int flags) {
    if (fd < 0 || fd >= FILES) return;
    free(paths[fd]);
    paths[fd] = strdup(path);
    if (made) record(CREATED, 0, path, 0, NULL, 0);
    else if (flags & O_TRUNC) record(CUT, 0, path, 0, NULL, 0);
}

static int open_any(int (*go)(int, const char *, int, mode_t), int at, const char *path, int flags, mode_t mode) {
    struct stat st;
    if (!ours(path)) return go(at, path, flags, mode);
    pthread_mutex_lock(&lock);
    int made = (flags & O_CREAT) && stat(path, &st);
    int fd = go(at, path, flags, mode);
    opened(fd, path, made, flags);
    pthread_mutex_unlock(&lock);
    return fd;
}

static int go_open(int at, const char *path, int flags, mode_t mode) {
    (void)at;
    return REAL(open)(path, flags, mode);
}
static int go_openat(int at, const char *path, int flags, mode_t mode) { return REAL(openat)(at, path, flags, mode); }

#define MODE(last) \
    mode_t mode = 0; \
    if (flags & (O_CREAT | __O_TMPFILE)) { va_list more; va_start(more, last); mode = va_arg(more, mode_t); va_end(more); }

int open(const char *path, int flags, ...) { MODE(flags) return open_any(go_open, AT_FDCWD, path, flags, mode); }
int open64(const char *path, int flags, ...) { MODE(flags) return open_any(go_open, AT_FDCWD, path, flags, mode); }
int openat(int at, const char *path, int flags, ...) { MODE(flags) return open_any(go_openat, at, path, flags, mode); }
int openat64(int at, const char *path, int flags, ...) { MODE(flags) return open_any(go_openat, at, path, flags, mode); }

int close(int fd) {
    if (fd == log_file && fd >= 0) return 0;
    if (of(fd)) {
        pthread_mutex_lock(&lock);
        free(paths[fd]);
        paths[fd] = NULL;
        pthread_mutex_unlock(&lock);
    }
    return REAL(close)(fd);
}

static ssize_t write_at(int fd, const void *data, size_t bytes, off_t offset, int seek) {
    const char *path = of(fd);
    if (!path) return seek ? REAL(write)(fd, data, bytes) : REAL(pwrite)(fd, data, bytes, offset);
    pthread_mutex_lock(&lock);
    if (seek) offset = (fcntl(fd, F_GETFL) & O_APPEND) ? lseek(fd, 0, SEEK_END) : lseek(fd, 0, SEEK_CUR);
    ssize_t done = seek ? REAL(write)(fd, data, bytes) : REAL(pwrite)(fd, data, bytes, offset);
    if (done > 0) record(WROTE, 0, path, (uint64_t)offset, data, (uint64_t)done);
    pthread_mutex_unlock(&lock);
    return done;
}

ssize_t write(int fd, const void *data, size_t bytes) { return write_at(fd, data, bytes, 0, 1); }
ssize_t pwrite(int fd, const void *data, size_t bytes, off_t at) { return write_at(fd, data, bytes, at, 0); }
ssize_t pwrite64(int fd, const void *data, size_t bytes, off_t at) { return write_at(fd, data, bytes, at, 0); }

/* Callers fall back to reading and writing, which is seen. */
ssize_t copy_file_range(int a, off_t *b, int c, off_t *d, size_t e, unsigned f) {
    (void)a, (void)b, (void)c, (void)d, (void)e, (void)f;
    errno = ENOSYS;
    return -1;
}
ssize_t sendfile(int a, int b, off_t *c, size_t d) { (void)a, (void)b, (void)c, (void)d; errno = ENOSYS; return -1; }
ssize_t sendfile64(int a, int b, off_t *c, size_t d) { (void)a, (void)b, (void)c, (void)d; errno = ENOSYS; return -1; }

static int cut(int fd, off_t bytes) {
    const char *path = of(fd);
    if (!path) return REAL(ftruncate)(fd, bytes);
    pthread_mutex_lock(&lock);
    int done = REAL(ftruncate)(fd, bytes);
    if (!done) record(CUT, 0, path, (uint64_t)bytes, NULL, 0);
    pthread_mutex_unlock(&lock);
    return done;
}
int ftruncate(int fd, off_t bytes) { return cut(fd, bytes); }
int ftruncate64(int fd, off_t bytes) { return cut(fd, bytes); }

static int sync_any(int fd, int (*go)(int)) {
    const char *path = of(fd);
    if (!path) return go(fd);
    uint32_t tag = __sync_add_and_fetch(&syncs, 1);
    record(SYNC_BEGAN, tag, path, 0, NULL, 0);
    int done = go(fd);
    if (!done) record(SYNCED, tag, path, 0, NULL, 0);
    return done;
}
int fsync(int fd) { return sync_any(fd, REAL(fsync)); }
int fdatasync(int fd) { return sync_any(fd, REAL(fdatasync)); }

int unlink(const char *path) {
    if (!ours(path)) return REAL(unlink)(path);
    pthread_mutex_lock(&lock);
    int done = REAL(unlink)(path);
    if (!done) record(UNLINKED, 0, path, 0, NULL, 0);
    pthread_mutex_unlock(&lock);
    return done;
}

int rename(const char *from, const char *to) {
    if (!ours(from) || !ours(to)) return REAL(rename)(from, to);
    pthread_mutex_lock(&lock);
    int done = REAL(rename)(from, to);
    if (!done) record(RENAMED, 0, from, 0, to, strlen(to));
    for (int fd = 0; !done && fd < FILES; fd++)
        if (paths[fd] && !strcmp(paths[fd], from)) { free(paths[fd]); paths[fd] = strdup(to); }
    pthread_mutex_unlock(&lock);
    return done;
}
