/*
 * dyebook plug-in ABI 1.1. C99 or later, C++ too; needs only <stdint.h> and <stddef.h>.
 *
 * A plug-in is a shared library that exports one function, dyb_plugin_entry_v1, which returns a
 * descriptor that lives as long as the process. Everything else goes through that descriptor.
 *
 * Ownership   What the host passes in belongs to the host and is dead once the call returns.
 *             What the plug-in has to say it writes into a sink of the host (dyb_out): no memory
 *             ever changes hands, so there is nothing to free on the other side. An instance
 *             belongs to the plug-in until the host hands it to destroy.
 * Sinks       write takes all bytes or none. After DYB_E_LIMIT the answer is lost whatever the call
 *             returns: stop soon. `out` is at most the manifest's output_mb; `err` is at most
 *             4 KiB, and 64 KiB while a file is imported (a refused file lists all its problems).
 * Results     Return a status. On failure put a short sentence in UTF-8 into `err`; `out` is then
 *             thrown away. A positive or unknown status is a fault of the plug-in.
 * Threads     One instance is never called by two threads at once. Without
 *             DYB_FLAG_PARALLEL_INSTANCES no two calls into the library overlap at all. A plug-in
 *             may start threads; they must not touch a sink and should have ended before return.
 * State       An answer depends on the configuration, the prepared set and the request, and on
 *             nothing else: not on order, time, chance, files or earlier requests.
 * Unloading   never happens. Destructors of statics and of thread-local data may never run.
 * Unwinding   No exception and no panic may leave a function of the plug-in.
 * Not given   Working directory, environment, standard input and output, locale, files, network:
 *             a plug-in gets none of them, and usually runs in a sandbox that refuses them.
 */
#ifndef DYEBOOK_PLUGIN_H
#define DYEBOOK_PLUGIN_H
#include <stddef.h>
#include <stdint.h>
#ifdef __cplusplus
extern "C" {
#endif

#define DYB_ABI_MAJOR 1
#define DYB_ABI_MINOR 1
#define DYB_MAGIC_INIT { 'D', 'Y', 'E', 'B', 'O', 'O', 'K', '1' }

#if defined(_WIN32)
#  define DYB_EXPORT __declspec(dllexport)
#else
#  define DYB_EXPORT __attribute__((visibility("default")))
#endif

typedef int32_t dyb_status;
enum {
  DYB_OK            = 0,
  DYB_E_INVALID     = -1, /* called out of order, or with arguments that make no sense */
  DYB_E_UNSUPPORTED = -2, /* an operation this component does not have */
  DYB_E_DATA        = -3, /* the data given can't be used; `err` says why */
  DYB_E_INTERNAL    = -4, /* the plug-in's own bug */
  DYB_E_PANIC       = -5, /* a panic or exception was caught at the border */
  DYB_E_LIMIT       = -6, /* a sink refused, or a limit of the plug-in's own was reached */
  DYB_E_CANCELLED   = -7  /* should_stop said so */
};

/* Operations. A strategy answers the first two, an importer the next two; requests and responses
 * are JSON. The last two ask and answer the same in the binary form that the Rust SDK describes
 * (since 1.1). The host asks by them first; a component that does not have them returns
 * DYB_E_UNSUPPORTED, as for any operation it does not know, and is asked in JSON from then on. */
enum {
  DYB_OP_PREPARE       = 1, /* request: the reference set of one method version */
  DYB_OP_MATCH         = 2, /* request: the lanes to answer */
  DYB_OP_PROBE         = 3, /* request: name and size; blob: the first 64 KiB */
  DYB_OP_IMPORT        = 4, /* request: name; blob: the whole file */
  DYB_OP_MATCH_BINARY  = 5, /* DYB_OP_MATCH in binary */
  DYB_OP_IMPORT_BINARY = 6  /* DYB_OP_IMPORT in binary */
};

enum { DYB_LOG_ERROR = 1, DYB_LOG_WARN = 2, DYB_LOG_INFO = 3, DYB_LOG_DEBUG = 4 };

/* Two instances may be called by two threads at the same time. */
#define DYB_FLAG_PARALLEL_INSTANCES 0x1u

/* Borrowed bytes, valid during the call. */
typedef struct dyb_bytes {
  const uint8_t *ptr;
  size_t         len;
} dyb_bytes;

/* A sink of the host. */
typedef struct dyb_out dyb_out;
struct dyb_out {
  uint32_t struct_size, reserved;
  void    *ctx;
  dyb_status (*write)(dyb_out *self, const uint8_t *data, size_t len);
};

/* What the host does for a plug-in. Check struct_size before using a field added after 1.0. */
typedef struct dyb_host dyb_host;
struct dyb_host {
  uint32_t struct_size;
  uint16_t abi_major, abi_minor;
  void    *ctx;
  void    (*log)(const dyb_host *self, uint32_t level, const uint8_t *utf8, size_t len);
  int32_t (*should_stop)(const dyb_host *self); /* not 0: return DYB_E_CANCELLED soon */
};

typedef struct dyb_instance dyb_instance; /* the plug-in's own, opaque to the host */

typedef struct dyb_create {
  uint32_t struct_size, reserved;
  const dyb_host *host;      /* valid until destroy has returned */
  const char     *component; /* ends with NUL; a component's name from the manifest */
  dyb_bytes       config;    /* a JSON object that fits the component's config_schema */
  dyb_out        *err;
} dyb_create;

typedef struct dyb_call {
  uint32_t struct_size, op;
  dyb_bytes request; /* JSON in UTF-8, no NUL at the end */
  dyb_bytes blob;    /* bytes of a file, or { NULL, 0 } */
  dyb_out  *out;     /* JSON in UTF-8 */
  dyb_out  *err;
} dyb_call;

typedef struct dyb_plugin {
  /* These 24 bytes are the same in every major. */
  uint8_t  magic[8];             /* DYB_MAGIC_INIT */
  uint32_t struct_size;          /* sizeof(dyb_plugin) as the plug-in was built */
  uint16_t abi_major, abi_minor; /* the header the plug-in was built with */
  uint16_t abi_minor_min;        /* the oldest host minor it can live with */
  uint16_t reserved;             /* 0 */
  uint32_t flags;
  /* since 1.0 */
  const char *describe; /* static JSON, ends with NUL, at most 64 KiB: id, version, components */
  dyb_status (*create)(const dyb_create *args, dyb_instance **out_instance);
  dyb_status (*call)(dyb_instance *self, const dyb_call *call);
  void       (*destroy)(dyb_instance *self);
} dyb_plugin;

/* Cheap, and the same pointer every time. */
DYB_EXPORT const dyb_plugin *dyb_plugin_entry_v1(void);

#if UINTPTR_MAX == 0xFFFFFFFFFFFFFFFFu && defined(__STDC_VERSION__) && __STDC_VERSION__ >= 201112L
_Static_assert(sizeof(dyb_plugin) == 56 && offsetof(dyb_plugin, describe) == 24, "dyb_plugin 1.0");
_Static_assert(sizeof(dyb_out) == 24 && sizeof(dyb_host) == 32, "dyb_out and dyb_host 1.0");
_Static_assert(sizeof(dyb_create) == 48 && sizeof(dyb_call) == 56, "arguments 1.0");
#endif

#ifdef __cplusplus
}
#endif
#endif
