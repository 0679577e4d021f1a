/* Start, choice of the table, and the tick. The runtime never waits for an equality: whatever is late is counted
   and caught up with. Until the first levels are known all pins stay inputs, and the circuit's pull-ups light every
   LED whose wire is live. */
#include "runtime.h"
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/power.h>
#include <avr/sleep.h>
#include <avr/wdt.h>

struct vitals vitals __attribute__((section(".vitals,\"aw\",@nobits;")));
uint16_t table;
struct port ports[PORTS];
uint8_t patterns[2 * PATTERN_BYTES] __attribute__((aligned(2 * PATTERN_BYTES > 32 ? 64 : 32)));
volatile uint8_t ticks_due;

/* Pins that may be used: the resonator's and reset are left alone. */
static const uint8_t usable[PORTS] PROGMEM = {
	USABLE_0, USABLE_1,
#if PORTS == 3
	USABLE_2,
#endif
};

struct sample look(void)
{
	struct sample seen;
	seen.port[0] = IN_0;
	seen.port[1] = IN_1;
#if PORTS == 3
	seen.port[2] = IN_2;
#endif
	return seen;
}

/* Unused pins get their pull-up, input pins none. */
static void ports_begin(uint8_t *output)
{
	uint8_t used[PORTS] = { 0 };
	uint16_t at = table + T_BODY;
	uint8_t i, count = byte_at(table + T_INPUTS);
	for (i = 0; i < count; i++, at += INPUT_SIZE) {
		uint8_t pin = byte_at(at + I_PIN);
		used[pin >> 4] |= 1 << (pin & 7);
	}
	count = byte_at(table + T_CHANNELS);
	for (i = 0; i < count; i++, at += CHANNEL_SIZE) {
		uint8_t pin = byte_at(at + C_PIN);
		uint8_t port = pin >> 4;
		drives[i].mask = 1 << (pin & 7);
		ports[port].channels++;
		output[port] |= drives[i].mask;
	}
	for (i = 0; i < PORTS; i++)
		ports[i].base = pgm_read_byte(&usable[i]) & ~(used[i] | output[i]);
}

/* Period of 4000 cycles; the compare values are written before the mode that would delay them. A flag comes one
   timer count after its match, so that slot 6 begins SLOT_6_AT cycles after slot 0. */
static void timer_begin(void)
{
	TCCR1A = 0;
	TCCR1B = 0;
	TCNT1 = 0;
	OCR1A = SLOT_6_AT / PRESCALER - 1;
	OCR1B = SLOT_7_AT / PRESCALER - 1;
	ICR1 = PERIOD / PRESCALER - 1;
	TIFR1 = 0xFF;
	TIMSK1 = _BV(TOIE1) | _BV(OCIE1A) | _BV(OCIE1B);
	TCCR1A = _BV(WGM11);
	TCCR1B = _BV(WGM13) | _BV(WGM12) | _BV(CS11);
}

/* Builds into the half that is not shown and asks for it to be shown from the next tick on. */
static void show(void)
{
	uint8_t first = (uint8_t)(uint16_t)patterns;
	uint8_t other;
	GPIOR1 = 0;
	other = GPIOR0 == first ? first + PATTERN_BYTES : first;
	build_patterns((uint8_t *)(((uint16_t)patterns & 0xFF00) | other));
	GPIOR1 = other;
}

/* Timer counts since the tick began. Read again when a frame began in between, instead of holding interrupts back. */
static uint16_t since_tick(void)
{
	uint16_t count;
	uint8_t frame;
	do {
		frame = GPIOR2;
		count = TCNT1;
	} while (frame != GPIOR2);
	return frame * (PERIOD / PRESCALER) + count;
}

/* Sleeps until a tick is due; counts those that were missed. Idle is the mode after a reset. Interrupts are never held back, so that every slot begins
   on time: the one that makes a tick due also forbids sleep, and a sleep that comes after it is passed over. */
static void await_tick(void)
{
	static uint8_t taken;
	uint8_t due;
	for (;;) {
		sleep_enable();
		due = ticks_due - taken;
		if (due)
			break;
		sleep_cpu();
	}
	taken += due;
	while (--due)
		if (vitals.overruns != 0xFFFF)
			vitals.overruns++;
}

/* An interrupt nobody asked for: the chip is astray, the watchdog puts it right. */
ISR(BADISR_vect)
{
	for (;;)
		;
}

static void light_lamp(void) __attribute__((noreturn));
static void light_lamp(void)
{
	uint8_t output[PORTS] = { 0 };
	struct sample seen = look();
	uint8_t p;
	ports_begin(output);
	inputs_begin(seen);
	light_begin();
	light_tick();
	GPIOR0 = (uint8_t)(uint16_t)patterns;
	GPIOR1 = 0;
	GPIOR2 = FRAMES_PER_TICK - 1;
	build_patterns(patterns);
	p = PATTERN_BYTES - PORTS;
	OUT_0 = patterns[p];
	OUT_1 = patterns[p + 1];
	DIRECTION_0 = output[0];
	DIRECTION_1 = output[1];
#if PORTS == 3
	OUT_2 = patterns[p + 2];
	DIRECTION_2 = output[2];
#endif
	timer_begin();
	sei();
	for (;;) {
		uint16_t taken;
		await_tick();
		inputs_tick(look());
		if (light_tick())
			show();
		watch_table();
		vitals.live = live;
		vitals.flashing = flashing;
		taken = since_tick();
		if (taken > vitals.latest)
			vitals.latest = taken;
		wdt_reset();
	}
}

int main(void)
{
	uint8_t cause = MCUSR;
	MCUSR = 0;
	wdt_enable(WDTO_15MS);
	ACSR = _BV(ACD);
#ifdef PRTWI
	PRR = _BV(PRTWI) | _BV(PRTIM2) | _BV(PRTIM0) | _BV(PRSPI) | _BV(PRUSART0) | _BV(PRADC);
#else
	PRR = _BV(PRTIM0) | _BV(PRUSI) | _BV(PRADC);
#endif
	vitals.overruns = 0;
	vitals.latest = 0;
	vitals.serving = 0;
	vitals.reset_cause = cause;
	vitals.live = 0;
	vitals.flashing = 0;
	table = find_table();
	if (table)
		light_lamp();
	if (safe_map_is_whole())
		follow_safe_map();
	/* Nothing to go by: pins stay inputs, the pull-ups light the LEDs, the watchdog tries again. */
	for (;;)
		;
}
