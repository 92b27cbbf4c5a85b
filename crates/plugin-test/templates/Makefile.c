DYEBOOK ?= dyebook
CFLAGS ?= -O2 -Wall -Wextra

all: build seal

build:
	$(CC) -std=c99 $(CFLAGS) -shared -fPIC -fvisibility=hidden plugin.c -o libplugin.so
	chmod 644 libplugin.so

seal:
	$(DYEBOOK) plugin seal .

test: all
	$(DYEBOOK) plugin test . --allow-unapproved-here

.PHONY: all build seal test
