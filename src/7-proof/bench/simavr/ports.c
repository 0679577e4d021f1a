// Runs a flash image in simavr with edges on input pins and prints every change of a port or its direction.
// Input on stdin: "words <n>", n hexadecimal words, then lines "edge <cycle> <port B|C|D> <bit> <0|1>" in order.
// Argument: cycles to run. Output: "<cycle> <portb> <portc> <portd> <ddrb> <ddrc> <ddrd>" in hex but the cycle.
#include <simavr/avr_ioport.h>
#include <simavr/sim_avr.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void no_sleep(avr_t *avr, avr_cycle_count_t how_long) {
  (void)avr;
  (void)how_long;
}

int main(int argc, char **argv) {
  if (argc < 2) return 2;
  unsigned long long end = strtoull(argv[1], 0, 10);
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
    if (state == cpu_Done || state == cpu_Crashed) {
      printf("stopped %d\n", state);
      break;
    }
  }
  return 0;
}
