/* A strategy that answers every lane with nothing, and misbehaves as its configuration says when a
 * lane is called "poison". Some faults are built in instead (-D…): those that strike on loading. */
#define _GNU_SOURCE
#include "dyebook_plugin.h"

#include <arpa/inet.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

struct dyb_instance {
  const dyb_host *host;
  char fault[32];
  char file[512];
};

static dyb_status say(dyb_out *out, const char *text) {
  return out->write(out, (const uint8_t *)text, strlen(text));
}

static void log_line(dyb_instance *self, const char *text) {
  self->host->log(self->host, DYB_LOG_INFO, (const uint8_t *)text, strlen(text));
}

static void setting(const char *json, const char *key, char *into, size_t size) {
  const char *at = strstr(json, key);
  into[0] = 0;
  if (at && (at = strchr(at + strlen(key), ':')) && (at = strchr(at, '"'))) {
    size_t n = strcspn(++at, "\"");
    if (n < size) { memcpy(into, at, n); into[n] = 0; }
  }
}

static dyb_status create(const dyb_create *args, dyb_instance **out) {
  char config[2048] = "";
  if (args->config.len < sizeof config) memcpy(config, args->config.ptr, args->config.len);
  if (strcmp(args->component, "hostile") != 0) {
    say(args->err, "no such component");
    return DYB_E_INVALID;
  }
  dyb_instance *self = calloc(1, sizeof *self);
  if (!self) return DYB_E_INTERNAL;
  self->host = args->host;
  setting(config, "\"fault\"", self->fault, sizeof self->fault);
  setting(config, "\"file\"", self->file, sizeof self->file);
  *out = self;
  return DYB_OK;
}

static void destroy(dyb_instance *self) { free(self); }

/* Answers each lane of the request, in order. */
static void answer(const char *request, dyb_out *out) {
  const char *lanes = strstr(request, "\"lanes\":[");
  const char *between = "{\"lanes\":[";
  while (lanes && (lanes = strstr(lanes, "\"id\":\""))) {
    lanes += 6;
    say(out, between);
    say(out, "{\"id\":\"");
    out->write(out, (const uint8_t *)lanes, strcspn(lanes, "\""));
    say(out, "\",\"dyes\":[],\"spots\":[]}");
    between = ",";
  }
  say(out, *between == ',' ? "]}" : "{\"lanes\":[]}");
}

static int deeper(volatile int n) {
  volatile char room[4096];
  room[n % 4096] = 1;
  return deeper(n + 1) + room[(n + 1) % 4096];
}

static void *later_segfault(void *unused) {
  (void)unused;
  usleep(150000);
  *(volatile int *)8 = 1;
  return NULL;
}

static void *lingering(void *unused) {
  (void)unused;
  sleep(1000);
  return NULL;
}

static int the_socket(void) {
  struct stat found;
  for (int fd = 3; fd < 64; fd++)
    if (fstat(fd, &found) == 0 && S_ISSOCK(found.st_mode)) return fd;
  return -1;
}

/* The number of the frame that the host waits for: the greeting had the first. */
static uint32_t number = 1;

/* A frame as the host expects it, but with this number and length. */
static void frame(uint32_t seq, uint32_t length, const char *body, size_t n) {
  unsigned char header[24] = { 'D', 'Y', 'F', '1', 4, 0 };
  memcpy(header + 12, &seq, 4);
  memcpy(header + 16, &length, 4);
  int fd = the_socket();
  if (write(fd, header, sizeof header) < 0 || (n && write(fd, body, n) < 0)) abort();
}

/* Tries everything that a sandbox should refuse, and reports what was let through. */
static void try_ways_out(dyb_instance *self) {
  char line[256] = "through:";
  int fd = open(self->file, O_WRONLY | O_TRUNC);
  if (fd >= 0) strcat(line, " truncate");
  fd = open(self->file, O_RDONLY);
  if (fd >= 0) strcat(line, " read");
  if (unlink(self->file) == 0) strcat(line, " unlink");
  if ((fd = open("here.txt", O_WRONLY | O_CREAT, 0600)) >= 0) strcat(line, " create");
  if ((fd = open("/tmp/dyebook-hostile-was-here", O_WRONLY | O_CREAT, 0600)) >= 0) strcat(line, " create-tmp");
  struct sockaddr_in to = { .sin_family = AF_INET, .sin_port = htons(9) };
  to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  fd = socket(AF_INET, SOCK_DGRAM, 0);
  if (fd >= 0) strcat(line, " udp-socket");
  fd = socket(AF_INET, SOCK_STREAM, 0);
  if (fd >= 0 && (connect(fd, (struct sockaddr *)&to, sizeof to) == 0 || errno == ECONNREFUSED))
    strcat(line, " connect");
  if (kill(getppid(), 0) == 0 || kill(getppid(), SIGCONT) == 0) strcat(line, " kill-parent");
  pid_t child = fork();
  if (child == 0) { execl("/bin/true", "true", (char *)NULL); _exit(1); }
  if (child > 0) strcat(line, " fork");
  char *const arguments[] = { "true", NULL };
  int before = errno;
  (void)before;
  execv("/bin/true", arguments);
  strcat(line, ".");
  log_line(self, line);
}

static dyb_status misbehave(dyb_instance *self, const char *request, const dyb_call *call) {
  const char *fault = self->fault;
#define IS(name) (strcmp(fault, name) == 0)
  if (IS("segfault")) *(volatile int *)8 = 1;
  if (IS("abort")) abort();
  if (IS("exit")) exit(0);
  if (IS("loop")) for (volatile int i = 0;; i++) {}
  if (IS("sleep")) sleep(1000);
  if (IS("stack")) return deeper(0);
  if (IS("stop")) raise(SIGSTOP);
  if (IS("memory"))
    for (;;) { char *more = malloc(1 << 20); memset(more, 1, 1 << 20); }
  if (IS("mapping"))
    for (int i = 0; i < 64; i++) {
      char *more = mmap(NULL, 64 << 20, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
      if (more == MAP_FAILED) { log_line(self, "mapping refused"); break; }
    }
  if (IS("utf8")) return say(call->out, "{\"lanes\":[{\"id\":\"\xff\xfe\"}]}");
  if (IS("json")) return say(call->out, "{\"lanes\":[");
  if (IS("empty")) return DYB_OK;
  if (IS("nan")) return say(call->out, "{\"lanes\":[{\"id\":\"poison\",\"dyes\":[],\"x-a\":NaN,\"spots\":[]}]}");
  if (IS("deep")) {
    for (int i = 0; i < 200000; i++) say(call->out, "[");
    return DYB_OK;
  }
  if (IS("schema"))
    return say(call->out, "{\"lanes\":[{\"id\":\"poison\",\"dyes\":[{\"dye\":\"a\",\"probability\":7.5}],\"spots\":[]}]}");
  if (IS("other-lane")) return say(call->out, "{\"lanes\":[{\"id\":\"other\",\"dyes\":[],\"spots\":[]}]}");
  if (IS("other-dye"))
    return say(call->out, "{\"lanes\":[{\"id\":\"poison\",\"dyes\":[{\"dye\":\"nobody\",\"probability\":null}],\"spots\":[]}]}");
  if (IS("huge") || IS("huge-ignoring")) {
    static char piece[65536];
    memset(piece, ' ', sizeof piece);
    for (int i = 0; i < 64; i++)
      if (call->out->write(call->out, (uint8_t *)piece, sizeof piece) != DYB_OK && IS("huge"))
        return DYB_E_LIMIT;
  }
  if (IS("print")) { printf("a line\n"); fflush(stdout); }
  if (IS("flood")) {
    static char piece[65536];
    memset(piece, 'x', sizeof piece);
    for (int i = 0; i < 150; i++)
      if (write(i % 2 + 1, piece, sizeof piece) < 0) break;
  }
  if (IS("scribble"))
    for (int fd = 0; fd < 64; fd++)
      if (write(fd, "not a frame, but long enough for one", 36) < 0) continue;
  if (IS("close"))
    for (int fd = 0; fd < 64; fd++) close(fd);
  if (IS("surroundings") && (chdir("/") || setenv("LANG", "xx", 1))) abort();
  if (IS("thread")) { pthread_t thread; pthread_create(&thread, NULL, lingering, NULL); }
  if (IS("later-segfault")) { pthread_t thread; pthread_create(&thread, NULL, later_segfault, NULL); }
  if (IS("fork") || IS("setsid")) {
    pid_t child = fork();
    if (child == 0) { if (IS("setsid")) setsid(); sleep(1000); _exit(0); }
    log_line(self, child > 0 ? "a child" : "no child");
  }
  if (IS("ways-out")) try_ways_out(self);
  if (IS("status")) return 12345;
  if (IS("no-text")) return DYB_E_DATA;
  if (IS("half-frame")) { frame(number, 1000, "half", 4); _exit(0); }
  if (IS("drip")) { frame(number, 1000, "", 0); for (;;) { usleep(20000); if (write(the_socket(), "x", 1) < 0) abort(); } }
  if (IS("other-seq")) { frame(77, 2, "{}", 2); }
  if (IS("twice")) { frame(number, 12, "{\"lanes\":[]}", 12); }
  answer(request, call->out);
  return DYB_OK;
}

static dyb_status call(dyb_instance *self, const dyb_call *args) {
  number++;
  if (args->op == DYB_OP_PREPARE) return say(args->out, "{}");
  if (args->op != DYB_OP_MATCH) return DYB_E_UNSUPPORTED;
  char *request = malloc(args->request.len + 1);
  memcpy(request, args->request.ptr, args->request.len);
  request[args->request.len] = 0;
  dyb_status status = DYB_OK;
  if (strstr(request, "\"id\":\"poison\"")) status = misbehave(self, request, args);
  else answer(request, args->out);
  free(request);
  return status;
}

#ifndef ID
#define ID "org.example.hostile"
#endif
#ifndef MAJOR
#define MAJOR 1
#endif
#ifndef MINOR
#define MINOR 0
#endif
#ifndef MINIMUM
#define MINIMUM 0
#endif
#ifndef SIZE
#define SIZE sizeof(dyb_plugin)
#endif
static const struct { dyb_plugin table; char tail[40]; } descriptor = { {
  DYB_MAGIC_INIT, SIZE, MAJOR, MINOR, MINIMUM, 0, 0,
  "{\"id\":\"" ID "\",\"version\":\"0.1.0\",\"components\":"
  "[{\"kind\":\"strategy\",\"name\":\"hostile\",\"contract\":\"strategy/1\"}]}",
  create, call, destroy }, { 0 } };

#if defined(UNDEFINED)
void nobody_has_this(void);
#endif
#if defined(CONSTRUCTOR_CRASHES)
__attribute__((constructor)) static void begin(void) { *(volatile int *)8 = 1; }
#elif defined(CONSTRUCTOR_LOOPS)
__attribute__((constructor)) static void begin(void) { for (volatile int i = 0;; i++) {} }
#endif

#if defined(NO_SYMBOL)
DYB_EXPORT const dyb_plugin *dyb_plugin_entry_v2(void) { return &descriptor.table; }
#elif defined(NO_DESCRIPTOR)
DYB_EXPORT const dyb_plugin *dyb_plugin_entry_v1(void) { return NULL; }
#else
DYB_EXPORT const dyb_plugin *dyb_plugin_entry_v1(void) {
#if defined(UNDEFINED)
  nobody_has_this();
#endif
  return &descriptor.table;
}
#endif
