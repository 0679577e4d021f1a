// Runs a flash image in simavr one instruction at a time and prints what the core holds, so that another
// emulator can be held against it. Input on stdin: a line "words <n>", then n hexadecimal words.
// Arguments: instructions to run, print every k-th state, final RAM (0/1).
// Registers and RAM start as (address * 37 + 11) & 255.
#include <simavr/sim_avr.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static uint32_t hash(const uint8_t *p, int n) {
  uint32_t h = 0x811c9dc5u;
  for (int i = 0; i < n; i++) h = (h ^ p[i]) * 0x01000193u;
  return h;
}

static void no_sleep(avr_t *avr, avr_cycle_count_t how_long) {
  (void)avr;
  (void)how_long;
}

static void print_state(avr_t *avr) {
  int sreg = 0;
  for (int i = 0; i < 8; i++) sreg |= (avr->sreg[i] ? 1 : 0) << i;
  int sp = avr->data[R_SPL] | avr->data[R_SPH] << 8;
  printf("%llu %x %x %x %x\n", (unsigned long long)avr->cycle, (unsigned)(avr->pc >> 1), sreg, sp,
         hash(avr->data, 32));
}

int main(int argc, char **argv) {
  if (argc < 4) return 2;
  long count = atol(argv[1]), every = atol(argv[2]);
  int with_ram = atoi(argv[3]);
  avr_t *avr = avr_make_mcu_by_name("atmega328p");
  if (!avr) return 3;
  avr_init(avr);
  avr->frequency = 16000000;
  avr->log = LOG_ERROR;
  avr->sleep = no_sleep;
  int n = 0;
  if (scanf(" words %d", &n) != 1 || n < 1 || n > 16384) return 4;
  static uint8_t flash[32768];
  memset(flash, 0xff, sizeof flash);
  for (int i = 0; i < n; i++) {
    unsigned w;
    if (scanf("%x", &w) != 1) return 5;
    flash[2 * i] = w & 255;
    flash[2 * i + 1] = w >> 8;
  }
  avr_loadcode(avr, flash, sizeof flash, 0);
  avr->codeend = avr->flashend;
  for (int i = 0; i < 32; i++) avr->data[i] = i * 37 + 11;
  for (int i = 0x100; i < 0x900; i++) avr->data[i] = i * 37 + 11;
  avr->data[R_SPL] = 0xff;
  avr->data[R_SPH] = 0x08;
  for (long i = 1; i <= count; i++) {
    int state = avr_run(avr);
    if (state == cpu_Done || state == cpu_Crashed) {
      printf("stopped %d\n", state);
      return 0;
    }
    if (i % every == 0) print_state(avr);
  }
  if (with_ram) printf("ram %x\n", hash(avr->data + 0x100, 0x800));
  return 0;
}
