// Runs a flash image in simavr so that another emulator can be held against it.
//   harness states COUNT EVERY   one instruction at a time; the core after every EVERY-th, and the RAM at the end
//   harness ports CYCLES         every change of a port or its direction, with edges on input pins
// Input on stdin: "words <n>", n hexadecimal words; for `ports` then lines "edge <cycle> <port B|C|D> <bit> <0|1>" in order.
// states: "<cycle> <pc> <sreg> <sp> <hash of the registers>", at last "ram <hash>"; registers and RAM start as
// (address * 37 + 11) & 255. ports: "<cycle> <portb> <portc> <portd> <ddrb> <ddrc> <ddrd>". Hexadecimal but the cycle.
#include <simavr/avr_ioport.h>
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

// The stock callback really sleeps; time in here is counted, not spent.
static void no_sleep(avr_t *avr, avr_cycle_count_t how_long) {
  (void)avr;
  (void)how_long;
}

static avr_t *load(void) {
  avr_t *avr = avr_make_mcu_by_name("atmega328p");
  if (!avr) exit(3);
  avr_init(avr);
  avr->frequency = 16000000;
  avr->log = LOG_ERROR;
  avr->sleep = no_sleep;
  int n = 0;
  if (scanf(" words %d", &n) != 1 || n < 1 || n > 16384) exit(4);
  static uint8_t flash[32768];
  memset(flash, 0xff, sizeof flash);
  for (int i = 0; i < n; i++) {
    unsigned w;
    if (scanf("%x", &w) != 1) exit(5);
    flash[2 * i] = w & 255;
    flash[2 * i + 1] = w >> 8;
  }
  avr_loadcode(avr, flash, sizeof flash, 0);
  avr->codeend = avr->flashend;
  return avr;
}

static int stopped(int state) {
  if (state != cpu_Done && state != cpu_Crashed) return 0;
  printf("stopped %d\n", state);
  return 1;
}

static void print_state(avr_t *avr) {
  int sreg = 0;
  for (int i = 0; i < 8; i++) sreg |= (avr->sreg[i] ? 1 : 0) << i;
  int sp = avr->data[R_SPL] | avr->data[R_SPH] << 8;
  printf("%llu %x %x %x %x\n", (unsigned long long)avr->cycle, (unsigned)(avr->pc >> 1), sreg, sp,
         hash(avr->data, 32));
}

static void states(avr_t *avr, long count, long every) {
  for (int i = 0; i < 32; i++) avr->data[i] = i * 37 + 11;
  for (int i = 0x100; i < 0x900; i++) avr->data[i] = i * 37 + 11;
  avr->data[R_SPL] = 0xff;
  avr->data[R_SPH] = 0x08;
  for (long i = 1; i <= count; i++) {
    if (stopped(avr_run(avr))) return;
    if (i % every == 0) print_state(avr);
  }
  printf("ram %x\n", hash(avr->data + 0x100, 0x800));
}

static void ports(avr_t *avr, unsigned long long end) {
  unsigned long long at = 0;
  char port = 0;
  int bit = 0, level = 0;
  int more = scanf(" edge %llu %c %d %d", &at, &port, &bit, &level) == 4;
  static const int regs[6] = {0x25, 0x28, 0x2b, 0x24, 0x27, 0x2a};
  uint8_t last[6] = {0};
  while (avr->cycle < end) {
    while (more && avr->cycle >= at) {
      avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ(port), bit), level);
      more = scanf(" edge %llu %c %d %d", &at, &port, &bit, &level) == 4;
    }
    int state = avr_run(avr);
    int changed = 0;
    for (int i = 0; i < 6; i++) {
      uint8_t v = avr->data[regs[i]];
      if (v != last[i]) changed = 1;
      last[i] = v;
    }
    if (changed)
      printf("%llu %x %x %x %x %x %x\n", (unsigned long long)avr->cycle, last[0], last[1], last[2], last[3],
             last[4], last[5]);
    if (stopped(state)) return;
  }
}

int main(int argc, char **argv) {
  if (argc == 4 && !strcmp(argv[1], "states")) states(load(), atol(argv[2]), atol(argv[3]));
  else if (argc == 3 && !strcmp(argv[1], "ports")) ports(load(), strtoull(argv[2], 0, 10));
  else return 2;
  return 0;
}
