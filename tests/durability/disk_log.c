/* Preloaded into a worker: writes down, in their one order and with their data, all changes that the
 * worker asks the disk for below LAID_DISK_ROOT, and what it writes to LAID_DISK_ACKS. On request it
 * lets a call fail as a full or broken disk would.
 *
 * A record: op (1 byte), descriptor (int32), number (int64), two lengths (uint32), two byte strings.
 * The lock is held over the call and its record, so that the order written down is the order done.
 */
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
#include <sys/types.h>
#include <sys/uio.h>
#include <unistd.h>

enum { OPEN = 1, CLOSE, WRITE, TRUNCATE, SYNC, RENAME, LINK, UNLINK, MKDIR, RMDIR, UNKNOWN };
enum { MOST_DESCRIPTORS = 65536 };

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static char followed[MOST_DESCRIPTORS];
static char *root, *acks;
static int log_fd = -1;
static long calls, fail_at;
static int fail_with;

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))
static ssize_t (*real_write)(int, const void *, size_t);

static void __attribute__((constructor)) begin(void) {
  real_write = REAL(write);
  root = getenv("LAID_DISK_ROOT");
  acks = getenv("LAID_DISK_ACKS");
  char *path = getenv("LAID_DISK_LOG");
  if (path) {
    int fd = REAL(open64)(path, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
    log_fd = fcntl(fd, F_DUPFD_CLOEXEC, 900);
    REAL(close)(fd);
  }
}

static void put(const void *data, size_t length) {
  const char *at = data;
  while (length) {
    ssize_t done = real_write(log_fd, at, length);
    if (done <= 0) abort();
    at += done;
    length -= done;
  }
}

static void note(uint8_t op, int32_t fd, int64_t number, const void *a, uint32_t a_length,
                 const void *b, uint32_t b_length) {
  if (log_fd < 0) return;
  char head[21];
  head[0] = op;
  memcpy(head + 1, &fd, 4);
  memcpy(head + 5, &number, 8);
  memcpy(head + 13, &a_length, 4);
  memcpy(head + 17, &b_length, 4);
  put(head, sizeof head);
  if (a_length) put(a, a_length);
  if (b_length) put(b, b_length);
}

static void note_paths(uint8_t op, const char *a, const char *b) {
  note(op, -1, 0, a, strlen(a), b, b ? strlen(b) : 0);
}

static int is_below(const char *path) {
  if (!path || !root) return 0;
  size_t length = strlen(root);
  if (!strncmp(path, root, length) && (!path[length] || path[length] == '/')) return 1;
  return acks && !strcmp(path, acks);
}

/* A path that is relative to an open folder cannot be told from here. */
static int is_told(int folder, const char *path) {
  if (path[0] == '/' || folder == AT_FDCWD) return 1;
  if (folder >= 0 && folder < MOST_DESCRIPTORS && followed[folder])
    note(UNKNOWN, folder, 0, path, strlen(path), NULL, 0);
  return 0;
}

static int is_followed(int fd) { return fd >= 0 && fd < MOST_DESCRIPTORS && followed[fd]; }

/* Whether this call is the one that fails; -1 and errno are then its answer. */
static int fails(void) {
  calls++;
  if (!fail_at || calls != fail_at) return 0;
  errno = fail_with;
  return 1;
}

/* For the worker: the call after `nth` more changes fails with `error`; 0 lets all succeed. */
void disk_fail(long nth, int error) {
  pthread_mutex_lock(&lock);
  calls = 0;
  fail_at = nth;
  fail_with = error;
  pthread_mutex_unlock(&lock);
}

/* For the worker: how many changes were asked for since `disk_fail`. */
long disk_calls(void) { return calls; }

#define HELD(type, body)          \
  pthread_mutex_lock(&lock);      \
  type answer;                    \
  body;                           \
  int kept_errno = errno;         \
  pthread_mutex_unlock(&lock);    \
  errno = kept_errno;             \
  return answer;

static int opened(int fd, const char *path, int flags) {
  if (fd >= 0 && fd < MOST_DESCRIPTORS) {
    followed[fd] = 1;
    note(OPEN, fd, flags, path, strlen(path), NULL, 0);
  }
  return fd;
}

#define OPENING(call)                                                       \
  mode_t mode = 0;                                                          \
  if (flags & (O_CREAT | O_TMPFILE)) {                                      \
    va_list rest;                                                           \
    va_start(rest, flags);                                                  \
    mode = va_arg(rest, mode_t);                                            \
    va_end(rest);                                                           \
  }                                                                         \
  HELD(int, {                                                               \
    if (!is_below(path) || !told)                                           \
      answer = call;                                                        \
    else if ((flags & O_CREAT) && access(path, F_OK) && fails())            \
      answer = -1;                                                          \
    else                                                                    \
      answer = opened(call, path, flags);                                   \
  })

int open(const char *path, int flags, ...) {
  int told = 1;
  OPENING(REAL(open)(path, flags, mode))
}
int open64(const char *path, int flags, ...) {
  int told = 1;
  OPENING(REAL(open64)(path, flags, mode))
}
int openat(int folder, const char *path, int flags, ...) {
  int told = is_told(folder, path);
  OPENING(REAL(openat)(folder, path, flags, mode))
}
int openat64(int folder, const char *path, int flags, ...) {
  int told = is_told(folder, path);
  OPENING(REAL(openat64)(folder, path, flags, mode))
}

int close(int fd) {
  HELD(int, {
    if (is_followed(fd)) {
      followed[fd] = 0;
      note(CLOSE, fd, 0, NULL, 0, NULL, 0);
    }
    answer = REAL(close)(fd);
  })
}

static ssize_t written(int fd, ssize_t done, const void *data, int64_t offset) {
  if (done > 0) note(WRITE, fd, offset, data, done, NULL, 0);
  return done;
}

/* Where a write without an offset will land. */
static int64_t place(int fd) {
  if (fcntl(fd, F_GETFL) & O_APPEND) return lseek64(fd, 0, SEEK_END);
  return lseek64(fd, 0, SEEK_CUR);
}

ssize_t write(int fd, const void *data, size_t length) {
  if (!is_followed(fd)) return real_write(fd, data, length);
  HELD(ssize_t, {
    int64_t offset = place(fd);
    answer = fails() ? -1 : written(fd, real_write(fd, data, length), data, offset);
  })
}
ssize_t pwrite(int fd, const void *data, size_t length, off_t offset) {
  if (!is_followed(fd)) return REAL(pwrite)(fd, data, length, offset);
  HELD(ssize_t, {
    answer = fails() ? -1 : written(fd, REAL(pwrite)(fd, data, length, offset), data, offset);
  })
}
ssize_t pwrite64(int fd, const void *data, size_t length, off64_t offset) {
  if (!is_followed(fd)) return REAL(pwrite64)(fd, data, length, offset);
  HELD(ssize_t, {
    answer = fails() ? -1 : written(fd, REAL(pwrite64)(fd, data, length, offset), data, offset);
  })
}
ssize_t writev(int fd, const struct iovec *parts, int count) {
  if (!is_followed(fd) || count < 1) return REAL(writev)(fd, parts, count);
  return write(fd, parts[0].iov_base, parts[0].iov_len); /* a short write is no fault */
}

#define TRUNCATING(name, type)                                     \
  int name(int fd, type length) {                                  \
    if (!is_followed(fd)) return REAL(name)(fd, length);           \
    HELD(int, {                                                    \
      answer = fails() ? -1 : REAL(name)(fd, length);              \
      if (!answer) note(TRUNCATE, fd, length, NULL, 0, NULL, 0);   \
    })                                                             \
  }
TRUNCATING(ftruncate, off_t)
TRUNCATING(ftruncate64, off64_t)

#define SYNCING(name)                                         \
  int name(int fd) {                                          \
    if (!is_followed(fd)) return REAL(name)(fd);              \
    HELD(int, {                                               \
      answer = fails() ? -1 : REAL(name)(fd);                 \
      if (!answer) note(SYNC, fd, 0, NULL, 0, NULL, 0);       \
    })                                                        \
  }
SYNCING(fsync)
SYNCING(fdatasync)

#define CHANGING(op, condition, call, a, b)        \
  HELD(int, {                                      \
    if (!(condition))                              \
      answer = call;                               \
    else {                                         \
      answer = fails() ? -1 : call;                \
      if (!answer) note_paths(op, a, b);           \
    }                                              \
  })

int rename(const char *from, const char *to) {
  CHANGING(RENAME, is_below(from) || is_below(to), REAL(rename)(from, to), from, to)
}
int renameat(int old_folder, const char *from, int new_folder, const char *to) {
  CHANGING(RENAME, (is_told(old_folder, from) & is_told(new_folder, to)) && is_below(to),
           REAL(renameat)(old_folder, from, new_folder, to), from, to)
}
int link(const char *from, const char *to) {
  CHANGING(LINK, is_below(from) || is_below(to), REAL(link)(from, to), from, to)
}
int linkat(int old_folder, const char *from, int new_folder, const char *to, int flags) {
  CHANGING(LINK, (is_told(old_folder, from) & is_told(new_folder, to)) && is_below(to),
           REAL(linkat)(old_folder, from, new_folder, to, flags), from, to)
}
int mkdir(const char *path, mode_t mode) {
  CHANGING(MKDIR, is_below(path), REAL(mkdir)(path, mode), path, NULL)
}
int rmdir(const char *path) { CHANGING(RMDIR, is_below(path), REAL(rmdir)(path), path, NULL) }

/* Removing never fails here: what it removes is what a fault left. */
int unlink(const char *path) {
  HELD(int, {
    answer = REAL(unlink)(path);
    if (!answer && is_below(path)) note_paths(UNLINK, path, NULL);
  })
}
int unlinkat(int folder, const char *path, int flags) {
  HELD(int, {
    int told = is_told(folder, path);
    answer = REAL(unlinkat)(folder, path, flags);
    if (!answer && told && is_below(path))
      note_paths(flags & AT_REMOVEDIR ? RMDIR : UNLINK, path, NULL);
  })
}
