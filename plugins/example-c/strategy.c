/* A matching strategy in plain C: a dye is named when the spot's Rf lies in its expected range. */
#include "dyebook_plugin.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct dyb_instance { char *set; }; /* the PREPARE request, kept as it came */

/* --- just enough JSON: a cursor over text that the host has already checked --- */
static const char *ws(const char *p) { return p + strspn(p, " \t\r\n"); }
static const char *skip(const char *p) { /* past one value */
  int depth = 0;
  do {
    if (*p == '"') for (p++; *p && *p != '"'; p++) p += *p == '\\';
    depth += (*p == '{' || *p == '[') - (*p == '}' || *p == ']');
    p++;
  } while (*p && (depth > 0 || !strchr(":,]} \t\r\n", *p)));
  return p;
}
static const char *get(const char *object, const char *key) { /* value of a key, or "null" */
  size_t n = strlen(key);
  for (const char *p = ws(object + 1); *p == '"'; p = ws(p)) {
    const char *value = ws(ws(skip(p)) + 1);
    if (strncmp(p + 1, key, n) == 0 && p[n + 1] == '"') return value;
    p = ws(skip(value));
    if (*p == ',') p++;
  }
  return "null";
}
static const char *item(const char *p, char before) { return *p == before && *ws(p + 1) != ']' ? ws(p + 1) : NULL; }
static const char *first(const char *array) { return item(array, '['); }
static const char *next(const char *one) { return item(ws(skip(one)), ','); }

/* --- writing --- */
static dyb_status put(dyb_out *out, const char *text, size_t n) { return out->write(out, (const uint8_t *)text, n); }
static dyb_status say(dyb_out *out, const char *text) { return put(out, text, strlen(text)); }
static dyb_status copy(dyb_out *out, const char *value) { return put(out, value, (size_t)(skip(value) - value)); }

static int fits(const char *reference, double rf) {
  const char *range = get(reference, "expected_rf");
  return strtod(get(range, "low"), NULL) <= rf && rf <= strtod(get(range, "high"), NULL);
}
static int decided(const char *references, const char *spot) { /* dyes that fit; -1: no Rf */
  const char *rf = get(spot, "rf");
  int n = 0;
  for (const char *r = first(references); r; r = next(r)) n += fits(r, strtod(rf, NULL));
  return *rf == 'n' ? -1 : n;
}

static void candidate(dyb_out *out, const char *reference, double rf) {
  const char *assigned = get(reference, "assigned_rf"), *range = get(reference, "expected_rf");
  double low = strtod(get(range, "low"), NULL), high = strtod(get(range, "high"), NULL);
  char text[200];
  snprintf(text, sizeof text, "],\"probability\":null,\"rf_difference\":%.17g,\"expected\":{\"low\":%.17g,"
           "\"high\":%.17g},\"colour\":\"not judged\"}", rf - (*assigned == 'n' ? (low + high) / 2 : strtod(assigned, NULL)), low, high);
  say(out, "{\"dyes\":["), copy(out, get(reference, "dye")), say(out, text);
}

static void spot(dyb_out *out, const char *references, const char *spot) {
  double rf = strtod(get(spot, "rf"), NULL);
  int n = decided(references, spot), named = 0;
  char reason[120] = "The spot has no Rf.";
  if (n >= 0) snprintf(reason, sizeof reason, "Rf %.2f lies in %d expected range%s; colour is not looked at.", rf, n, n == 1 ? "" : "s");
  say(out, "{\"spot\":"), copy(out, get(spot, "spot")), say(out, ",\"decision\":\"");
  say(out, !first(references) ? "no valid reference" : n < 0 ? "not evaluable"
           : n == 0 ? "not in reference set" : n == 1 ? "identified" : "indistinguishable");
  say(out, "\",\"candidates\":[");
  for (const char *r = first(references); r && n > 0; r = next(r))
    if (fits(r, rf)) say(out, named++ ? "," : ""), candidate(out, r, rf);
  say(out, "],\"reason\":\""), say(out, reason), say(out, "\"}");
}

static void lane(dyb_out *out, const char *references, const char *lane) {
  const char *comma = "", *spots = get(lane, "spots");
  say(out, "{\"id\":"), copy(out, get(lane, "id")), say(out, ",\"dyes\":[");
  for (const char *r = first(references); r; r = next(r)) { /* each dye once, in the set's order */
    const char *s = first(spots);
    while (s && !(decided(references, s) == 1 && fits(r, strtod(get(s, "rf"), NULL)))) s = next(s);
    if (!s) continue;
    say(out, comma), say(out, "{\"dye\":"), copy(out, get(r, "dye")), say(out, ",\"probability\":null}");
    comma = ",";
  }
  say(out, "],\"spots\":[");
  for (const char *s = first(spots); s; s = next(s)) spot(out, references, s), say(out, next(s) ? "," : "");
  say(out, "]}");
}

static char *text_of(dyb_bytes bytes) { /* the host's bytes, ended with NUL and ours to keep */
  char *text = malloc(bytes.len + 1);
  if (text) memcpy(text, bytes.ptr, bytes.len), text[bytes.len] = 0;
  return text;
}

static dyb_status create(const dyb_create *args, dyb_instance **out) {
  if (strcmp(args->component, "example-c")) return say(args->err, "no such component"), DYB_E_INVALID;
  if (args->config.len > 2) return say(args->err, "there are no parameters"), DYB_E_INVALID;
  return (*out = calloc(1, sizeof **out)) ? DYB_OK : DYB_E_INTERNAL;
}
static void destroy(dyb_instance *self) { free(self->set), free(self); }

static dyb_status call(dyb_instance *self, const dyb_call *args) {
  char *request = NULL;
  if (args->op != DYB_OP_PREPARE && args->op != DYB_OP_MATCH) return DYB_E_UNSUPPORTED;
  if (args->op == DYB_OP_MATCH && !self->set) return say(args->err, "prepare first"), DYB_E_INVALID;
  if (!(request = text_of(args->request))) return DYB_E_INTERNAL;
  if (args->op == DYB_OP_PREPARE) return free(self->set), self->set = request, say(args->out, "{}");
  const char *references = get(ws(self->set), "references");
  say(args->out, "{\"lanes\":[");
  for (const char *l = first(get(ws(request), "lanes")); l; l = next(l))
    lane(args->out, references, l), say(args->out, next(l) ? "," : "");
  free(request);
  return say(args->out, "]}");
}

static const dyb_plugin plugin = { DYB_MAGIC_INIT, sizeof(dyb_plugin), DYB_ABI_MAJOR, DYB_ABI_MINOR, 0, 0, 0,
  "{\"id\":\"org.example.example-c\",\"version\":\"0.1.0\",\"components\":"
  "[{\"kind\":\"strategy\",\"name\":\"example-c\",\"contract\":\"strategy/1\"}]}", create, call, destroy };
DYB_EXPORT const dyb_plugin *dyb_plugin_entry_v1(void) { return &plugin; }
