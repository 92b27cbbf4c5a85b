/* Importer `@NAME@`: reads lines such as `P1 2 Red 3.40 8.05` (paper, lane, label, distance and front
 * in cm) below the lines `group: …` and `method: …`. Make it yours. */
#include "dyebook_plugin.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FIRST "@NAME@ 1"
struct dyb_instance { int nothing; };

static dyb_status say(dyb_out *out, const char *text) { return out->write(out, (const uint8_t *)text, strlen(text)); }

/* A JSON string. What is not plain ASCII is refused before. */
static void quote(dyb_out *out, const char *text) {
  say(out, "\"");
  for (; *text; text++) {
    char piece[8] = { *text, 0 };
    if (*text == '"' || *text == '\\') snprintf(piece, sizeof piece, "\\%c", *text);
    say(out, piece);
  }
  say(out, "\"");
}

static dyb_status refuse(dyb_out *err, int row, const char *message) {
  char text[300];
  snprintf(text, sizeof text, "{\"problems\":[{\"row\":%d,\"column\":null,\"message\":\"%s\",\"hint\":null}]}", row, message);
  say(err, text);
  return DYB_E_DATA;
}

static int is_number(const char *text) {
  size_t whole = strspn(text, "0123456789");
  size_t part = text[whole] == '.' ? strspn(text + whole + 1, "0123456789") + 1 : 0;
  return whole > 0 && text[whole + part] == 0;
}

static dyb_status rows(char *text, const dyb_call *args) {
  char group[100] = "", method[100] = "", buffer[200];
  int number = 0, count = 0;
  say(args->out, "{\"rows\":[");
  for (char *line = text, *end; line; line = end) {
    char paper[100], lane[100], label[100], distance[100], front[100];
    if ((end = strchr(line, '\n'))) *end++ = 0;
    line[strcspn(line, "\r")] = 0;
    number++;
    for (char *c = line; *c; c++)
      if (*c < ' ' || *c > '~') return refuse(args->err, number, "the line is not plain text");
    if (number == 1) {
      if (strcmp(line, FIRST)) return refuse(args->err, 1, "the first line is not `" FIRST "`");
    } else if (sscanf(line, "group: %99[^\n]", group) == 1 || sscanf(line, "method: %99[^\n]", method) == 1 || !*line) {
      continue;
    } else {
      if (sscanf(line, "%99s %99s %99s %99s %99s", paper, lane, label, distance, front) != 5)
        return refuse(args->err, number, "the line does not hold paper, lane, label, distance and front");
      if (!*group || !*method) return refuse(args->err, number, "`group:` and `method:` come before the first row");
      if (!is_number(distance) || !is_number(front)) return refuse(args->err, number, "a distance is not a number");
      snprintf(buffer, sizeof buffer, "%s{\"row\":%d,\"group\":", count++ ? "," : "", number);
      say(args->out, buffer), quote(args->out, group);
      say(args->out, ",\"method\":"), quote(args->out, method);
      say(args->out, ",\"paper\":"), quote(args->out, paper);
      say(args->out, ",\"lane\":"), quote(args->out, lane);
      say(args->out, ",\"label\":"), quote(args->out, label);
      say(args->out, ",\"distance\":"), quote(args->out, distance);
      say(args->out, ",\"front\":"), quote(args->out, front), say(args->out, "}");
    }
  }
  return say(args->out, "],\"units\":{\"distance\":\"cm\",\"front\":\"cm\",\"width\":null},\"reading\":{\"separator\":\" \","
             "\"decimal\":\".\",\"encoding\":\"ASCII\"},\"columns\":[],\"remarks\":[],\"warnings\":[]}");
}

static dyb_status create(const dyb_create *args, dyb_instance **out) {
  if (strcmp(args->component, "@NAME@")) return say(args->err, "no such component"), DYB_E_INVALID;
  if (args->config.len > 2) return say(args->err, "there are no parameters"), DYB_E_INVALID;
  return (*out = calloc(1, sizeof **out)) ? DYB_OK : DYB_E_INTERNAL;
}
static void destroy(dyb_instance *self) { free(self); }

static dyb_status call(dyb_instance *self, const dyb_call *args) {
  (void)self;
  if (args->op == DYB_OP_PROBE) {
    int mine = args->blob.len >= strlen(FIRST) && !memcmp(args->blob.ptr, FIRST, strlen(FIRST));
    return say(args->out, mine ? "{\"confidence\":0.95,\"reason\":\"its first line\"}" : "{\"confidence\":0,\"reason\":\"another first line\"}");
  }
  if (args->op != DYB_OP_IMPORT) return DYB_E_UNSUPPORTED;
  char *text = malloc(args->blob.len + 1);
  if (!text) return DYB_E_INTERNAL;
  if (args->blob.len) memcpy(text, args->blob.ptr, args->blob.len);
  text[args->blob.len] = 0;
  dyb_status status = strlen(text) < args->blob.len ? refuse(args->err, 1, "the file is not plain text") : rows(text, args);
  free(text);
  return status;
}

static const dyb_plugin plugin = { DYB_MAGIC_INIT, sizeof(dyb_plugin), DYB_ABI_MAJOR, DYB_ABI_MINOR, 0, 0, 0,
  "{\"id\":\"@ID@\",\"version\":\"0.1.0\",\"components\":"
  "[{\"kind\":\"importer\",\"name\":\"@NAME@\",\"contract\":\"importer/1\"}]}", create, call, destroy };
DYB_EXPORT const dyb_plugin *dyb_plugin_entry_v1(void) { return &plugin; }
