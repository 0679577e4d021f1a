/* Runs a HEX file on simavr, an emulator we did not write, and prints what its pins do.
   cc run-simavr.c -o run-simavr -lsimavr -lelf
   run-simavr FILE.hex CYCLES [KEY=VALUE …]  < STIMULUS

   Stimulus, one per line, in order of time:  CYCLE PIN LEVEL     (PIN such as PB0, LEVEL 0 or 1)
                                              CYCLE pc ADDRESS    (the program counter runs astray)
                                              CYCLE flip ADDRESS  (bit 0 of a flash byte turns while it runs)
   Output:  e CYCLE PORT VALUE DIRECTION      a port's level or direction changed (driven levels)
            r CYCLE                           a watchdog reset
            v OVERRUNS LATEST SERVING CAUSE LIVE FLASHING    vitals at the end
            s DEEPEST                         lowest stack pointer seen
   flip=ADDRESS:MASK changes flash bytes before the start; mcu=attiny84 takes that chip instead of the atmega328p. */
#include <simavr/avr_extint.h>
#include <simavr/avr_ioport.h>
#include <simavr/sim_avr.h>
#include <simavr/sim_hex.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static avr_t *avr;

/* The stock callback really sleeps; time in here is counted, not spent. */
static void sleep_counted(avr_t *a, avr_cycle_count_t length) { (void)a; (void)length; }
static void say_nothing(avr_t *a, const int level, const char *format, va_list list)
{
	(void)a; (void)level; (void)format; (void)list;
}

/* Ports in the order of the table, with the addresses of PINx, DDRx and PORTx. */
struct place { char letter; uint16_t pin, ddr, port; };
static const struct place mega[] = {
	{ 'B', 0x23, 0x24, 0x25 }, { 'C', 0x26, 0x27, 0x28 }, { 'D', 0x29, 0x2A, 0x2B }
};
static const struct place tiny[] = { { 'A', 0x39, 0x3A, 0x3B }, { 'B', 0x36, 0x37, 0x38 } };
static const struct place *places = mega;
static int ports = 3;

/* Levels given from outside, per port and pin; -1 = none. */
static int given[3][8];

static void give(int port, int bit, int level)
{
	given[port][bit] = level;
	avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ(places[port].letter), bit), level);
}

/* A reset makes the emulator forget what stands at its pins; the wires do not change. */
static void give_again(void)
{
	for (int port = 0; port < ports; port++)
		for (int bit = 0; bit < 8; bit++)
			if (given[port][bit] >= 0) {
				int level = given[port][bit];
				give(port, bit, !level);
				give(port, bit, level);
			}
}

int main(int argc, char **argv)
{
	if (argc < 3)
		return 64;
	ihex_chunk_p chunks = 0;
	int chunk_count = read_ihex_chunks(argv[1], &chunks);
	if (chunk_count <= 0)
		return 65;
	uint64_t until = strtoull(argv[2], 0, 10);
	avr_global_logger_set(say_nothing);
	const char *mcu = "atmega328p";
	for (int i = 3; i < argc; i++)
		if (!strncmp(argv[i], "mcu=", 4))
			mcu = argv[i] + 4;
	int is_mega = !strcmp(mcu, "atmega328p");
	if (!is_mega) {
		places = tiny;
		ports = 2;
	}
	unsigned ram = is_mega ? 0x100 : 0x60;
	avr = avr_make_mcu_by_name(mcu);
	avr_init(avr);
	avr->frequency = 16000000;
	avr->sleep = sleep_counted;
	/* Else a low PD2 or PD3 is polled in every cycle, although its interrupt is off. */
	avr_extint_set_strict_lvl_trig(avr, 0, 0);
	if (is_mega)
		avr_extint_set_strict_lvl_trig(avr, 1, 0);
	for (int i = 0; i < chunk_count; i++)
		avr_loadcode(avr, chunks[i].data, chunks[i].size, chunks[i].baseaddr);
	for (int i = 3; i < argc; i++) {
		unsigned at, mask;
		if (sscanf(argv[i], "flip=%x:%x", &at, &mask) == 2)
			avr->flash[at] ^= mask;
	}
	memset(given, -1, sizeof given);
	uint64_t next_cycle = UINT64_MAX;
	char what[8];
	int value = 0;
	int more = scanf("%lu %7s %d", &next_cycle, what, &value) == 3;
	int last_port[3] = { -1, -1, -1 }, last_ddr[3] = { -1, -1, -1 };
	unsigned lowest = is_mega ? 0x08FF : 0x025F;
	while (avr->cycle < until) {
		while (more && avr->cycle >= next_cycle) {
			if (what[0] == 'P')
				give(what[1] - places[0].letter, what[2] - '0', value);
			else if (what[0] == 'f')
				avr->flash[value] ^= 1;
			else
				avr->pc = value;
			more = scanf("%lu %7s %d", &next_cycle, what, &value) == 3;
		}
		uint64_t before = avr->cycle;
		uint32_t pc = avr->pc;
		int state = avr_run(avr);
		if (state == cpu_Done || state == cpu_Crashed)
			return 66;
		if (avr->pc == 0 && pc != 0) {
			printf("r %lu\n", before);
			give_again();
		}
		unsigned sp = avr->data[0x5D] | avr->data[0x5E] << 8;
		if (sp > ram && sp < lowest)
			lowest = sp;
		for (int i = 0; i < ports; i++) {
			int p = avr->data[places[i].port], d = avr->data[places[i].ddr];
			if (p == last_port[i] && d == last_ddr[i])
				continue;
			last_port[i] = p;
			last_ddr[i] = d;
			printf("e %lu %c %d %d\n", before, places[i].letter, p, d);
		}
	}
	uint8_t *v = avr->data + ram;
	printf("v %d %d %d %d %d %d\n", v[0] | v[1] << 8, v[2] | v[3] << 8, v[4], v[5], v[6], v[7]);
	printf("s %u\n", lowest);
	return 0;
}
