// Made by firmware/build.sh from firmware/runtime: the program's sources. Do not edit.

export const runtimeSources: Readonly<Record<string, string>> = {
  "dimming.S": `\
; Bit-angle modulation on all port pins. Timer 1 runs with a period of 4000 cycles; three fixed interrupts start the
; slots. Slots 0 to 4 and the start of slot 5 are one stretch of counted cycles after the overflow; compare A starts
; slot 6 and compare B slot 7. All three reach their first port write after the same number of cycles, so that the
; entry time cancels out of every slot. Loads and port writes leave the flags alone; the status register is saved
; only where the flags change.
;
; GPIOR0: low address of the pattern shown. GPIOR1: low address of the pattern to show from the next tick, 0 = none.
; GPIOR2: number of the frame within the tick, 0 to 3.
; A tick that becomes due forbids sleep (idle sleep is mode 0 of both controllers, all else in that register is 0).

#define __SFR_OFFSET 0
#include <avr/io.h>
#include "layout.h"

#if PORTS == 3
#define OUT_0 PORTB
#define OUT_1 PORTC
#define OUT_2 PORTD
#define SLEEP_CONTROL SMCR
#else
#define OUT_0 PORTA
#define OUT_1 PORTB
#define SLEEP_CONTROL MCUCR
#define TIMER1_OVF_vect TIM1_OVF_vect
#define TIMER1_COMPA_vect TIM1_COMPA_vect
#define TIMER1_COMPB_vect TIM1_COMPB_vect
#endif

.section .text

; Starts slot \\n: START_CYCLES from the first load to the last port write.
.macro start_slot n
	ldd	r24, Z+PORTS*\\n
	out	_SFR_IO_ADDR(OUT_0), r24
	ldd	r24, Z+PORTS*\\n+1
	out	_SFR_IO_ADDR(OUT_1), r24
#if PORTS == 3
	ldd	r24, Z+PORTS*\\n+2
	out	_SFR_IO_ADDR(OUT_2), r24
#endif
.endm

; Passes exactly \\cycles cycles (4 or more); changes r24 and the flags.
.macro pass cycles
	ldi	r24, (\\cycles) / 3
1:	dec	r24
	brne	1b
	.rept	(\\cycles) % 3
	nop
	.endr
.endm

; 8 cycles, the same in all three interrupts.
.macro enter
	push	r24
	push	r30
	push	r31
	in	r30, _SFR_IO_ADDR(GPIOR0)
	ldi	r31, hi8(patterns)
.endm

.macro leave
	pop	r31
	pop	r30
	pop	r24
	reti
.endm

.global TIMER1_OVF_vect
TIMER1_OVF_vect:
	enter
	start_slot 0
	in	r24, _SFR_IO_ADDR(SREG)
	push	r24
	.rept	SLOT_0 - START_CYCLES - 3
	nop
	.endr
	start_slot 1
	pass	SLOT_1 - START_CYCLES
	start_slot 2
	pass	SLOT_2 - START_CYCLES
	start_slot 3
	pass	SLOT_3 - START_CYCLES
	start_slot 4
	pass	SLOT_4 - START_CYCLES
	start_slot 5
	in	r24, _SFR_IO_ADDR(GPIOR2)
	inc	r24
	andi	r24, FRAMES_PER_TICK - 1
	out	_SFR_IO_ADDR(GPIOR2), r24
	brne	2f
	lds	r24, ticks_due
	inc	r24
	sts	ticks_due, r24
	ldi	r24, 0
	out	_SFR_IO_ADDR(SLEEP_CONTROL), r24
2:	pop	r24
	out	_SFR_IO_ADDR(SREG), r24
	leave

.global TIMER1_COMPA_vect
TIMER1_COMPA_vect:
	enter
	start_slot 6
	leave

; In the last frame of a tick slot 7 is the moment to change over: its pattern is out, the next frame has not begun.
.global TIMER1_COMPB_vect
TIMER1_COMPB_vect:
	enter
	start_slot 7
	in	r24, _SFR_IO_ADDR(SREG)
	push	r24
	in	r24, _SFR_IO_ADDR(GPIOR2)
	cpi	r24, FRAMES_PER_TICK - 1
	brne	3f
	in	r24, _SFR_IO_ADDR(GPIOR1)
	tst	r24
	breq	3f
	out	_SFR_IO_ADDR(GPIOR0), r24
	ldi	r24, 0
	out	_SFR_IO_ADDR(GPIOR1), r24
3:	pop	r24
	out	_SFR_IO_ADDR(SREG), r24
	leave

; void build_patterns(uint8_t *pattern): eight slots × the ports from the codes in \`drives\`, port by port.
; The eight slot bytes of a port stand in r16 … r23; each channel adds its pin to the slots of its set bits.
.global build_patterns
build_patterns:
	push	r16
	push	r17
	push	r28
	push	r29
	movw	r30, r24
	ldi	r26, lo8(drives)
	ldi	r27, hi8(drives)
	ldi	r28, lo8(ports)
	ldi	r29, hi8(ports)
4:	ld	r16, Y+
	mov	r17, r16
	mov	r18, r16
	mov	r19, r16
	mov	r20, r16
	mov	r21, r16
	mov	r22, r16
	mov	r23, r16
	ld	r24, Y+
	tst	r24
	breq	6f
5:	ld	r25, X+
	ld	r0, X+
	sbrc	r25, 0
	or	r16, r0
	sbrc	r25, 1
	or	r17, r0
	sbrc	r25, 2
	or	r18, r0
	sbrc	r25, 3
	or	r19, r0
	sbrc	r25, 4
	or	r20, r0
	sbrc	r25, 5
	or	r21, r0
	sbrc	r25, 6
	or	r22, r0
	sbrc	r25, 7
	or	r23, r0
	dec	r24
	brne	5b
6:	st	Z, r16
	std	Z+1*PORTS, r17
	std	Z+2*PORTS, r18
	std	Z+3*PORTS, r19
	std	Z+4*PORTS, r20
	std	Z+5*PORTS, r21
	std	Z+6*PORTS, r22
	std	Z+7*PORTS, r23
	adiw	r30, 1
	cpi	r28, lo8(ports + 2*PORTS)
	brne	4b
	pop	r29
	pop	r28
	pop	r17
	pop	r16
	ret
`,
  "inputs.c": `\
/* Inputs: filter, flash timing, judgement of the flasher. SEMANTICS.md sections 1, 5 and 6. */
#include "runtime.h"

struct input {
	/* from the table */
	uint8_t port, mask, assert_after, release_after;
	/* filter: counts towards the other state */
	uint8_t count;
	/* flasher: */
	uint8_t unmeasured : 1; /* this flash's on-time says nothing */
	uint8_t pending : 1;    /* the flash ended, but not yet long enough ago to be sure */
	uint8_t steady : 1;     /* live for longer than any flash */
	uint8_t first : 1;      /* first flash of an operation */
	uint8_t known : 2;      /* on-times known, 0 to 3 */
	uint8_t rises;          /* rises stamped, 0 to 4 */
	uint16_t on;            /* ticks since the wire was first found live in this flash */
	uint16_t on_at_end;     /* the same when it last went dead */
	uint16_t off;           /* ticks since it went dead */
	uint16_t unstable;      /* ticks left */
	uint16_t on_times[3];   /* newest first */
	uint16_t stamps[4];     /* ticks of the last rises, newest first */
};

uint8_t live, flashing, plain;

static struct input inputs[MOST_INPUTS];
static uint8_t input_count, flashers, inverted;
static uint16_t now;

/* A time by which flashers are judged. */
static uint16_t limit(uint8_t field)
{
	return word_at(table + field);
}

static uint8_t reads_live(const struct input *in, uint8_t bit, const struct sample *seen)
{
	uint8_t high = (seen->port[in->port] & in->mask) != 0;
	return high != ((inverted & bit) != 0);
}

/* A count of filtered ticks taken back to what the wire did; never below 0. */
static uint16_t on_wire(uint16_t ticks, uint8_t add, uint8_t take)
{
	uint16_t sum = ticks + add;
	return sum < ticks ? 0xFFFF : sum > take ? sum - take : 0;
}

static void judge_unstable(struct input *in)
{
	in->unstable = limit(T_UNSTABLE_FOR);
	in->known = 0;
}

static void enter_on_time(struct input *in)
{
	uint16_t on = on_wire(in->on_at_end, 1, in->release_after);
	in->pending = 0;
	if (in->unmeasured || in->steady)
		return;
	if (on < limit(T_SHORTEST_ON)) {
		judge_unstable(in);
		return;
	}
	in->on_times[2] = in->on_times[1];
	in->on_times[1] = in->on_times[0];
	in->on_times[0] = on;
	if (in->known < 3)
		in->known++;
}

static void stamp_rise(struct input *in)
{
	if (in->rises == 4 && (uint16_t)(now - in->stamps[3]) < limit(T_RISE_WINDOW))
		judge_unstable(in);
	in->stamps[3] = in->stamps[2];
	in->stamps[2] = in->stamps[1];
	in->stamps[1] = in->stamps[0];
	in->stamps[0] = now;
	if (in->rises < 4)
		in->rises++;
}

static void begin_flash(struct input *in, uint8_t bit)
{
	in->first = in->off >= limit(T_OPERATION_GAP);
	if (in->first)
		in->rises = 0;
	in->on = in->assert_after - 1;
	in->unmeasured = 0;
	in->steady = 0;
	stamp_rise(in);
	if (in->unstable)
		plain |= bit;
	else
		plain &= ~bit;
	flashing |= bit;
}

static void flasher_goes_live(struct input *in, uint8_t bit)
{
	if (in->pending) {
		/* A contact that let go for a moment: the same flash, everything on at once. */
		in->pending = 0;
		in->unmeasured = 1;
		plain |= bit;
		if (!in->steady)
			flashing |= bit;
		return;
	}
	begin_flash(in, bit);
}

static void flasher_tick(struct input *in, uint8_t bit, uint8_t is_live)
{
	if (in->unstable)
		in->unstable--;
	if (is_live || in->pending)
		if (in->on != 0xFFFF)
			in->on++;
	if (is_live) {
		if (in->on >= limit(T_STEADY_AFTER) && !in->steady) {
			in->steady = 1;
			in->rises = 0;
			flashing &= ~bit;
		}
		return;
	}
	if (in->off != 0xFFFF)
		in->off++;
	if (in->pending && on_wire(in->off, in->release_after, in->assert_after) >= limit(T_CONTACT_GAP))
		enter_on_time(in);
	if (on_wire(in->off, in->release_after, in->assert_after) >= limit(T_FLASH_GAP))
		flashing &= ~bit;
}

/* 1: the input changed between live and dead. */
static uint8_t filter(struct input *in, uint8_t is_live, uint8_t reads)
{
	if (is_live) {
		if (reads)
			in->count = 0;
		else if (++in->count >= in->release_after) {
			in->count = 0;
			return 1;
		}
	} else if (!reads) {
		if (in->count)
			in->count--;
	} else if (++in->count >= in->assert_after) {
		in->count = 0;
		return 1;
	}
	return 0;
}

void inputs_tick(struct sample seen)
{
	struct input *in = inputs;
	uint8_t bit = 1, i;
	now++;
	/* At the start every live wire is plain; later only flashes are. */
	plain &= flashers;
	for (i = 0; i < input_count; i++, in++, bit <<= 1) {
		uint8_t was_live = (live & bit) != 0;
		uint8_t changed = filter(in, was_live, reads_live(in, bit, &seen));
		uint8_t flasher = flashers & bit;
		if (flasher)
			flasher_tick(in, bit, was_live);
		if (!changed)
			continue;
		live ^= bit;
		if (was_live) {
			if (flasher) {
				in->on_at_end = in->on;
				in->off = 0;
				in->pending = 1;
			}
			plain &= ~bit;
		} else if (flasher)
			flasher_goes_live(in, bit);
	}
}

void inputs_begin(struct sample seen)
{
	struct input *in = inputs;
	uint16_t at = table + T_BODY;
	uint8_t bit = 1, i;
	input_count = byte_at(table + T_INPUTS);
	for (i = 0; i < input_count; i++, in++, at += INPUT_SIZE, bit <<= 1) {
		uint8_t pin = byte_at(at + I_PIN);
		uint8_t flags = byte_at(at + I_FLAGS);
		in->port = pin >> 4;
		in->mask = 1 << (pin & 7);
		if (flags & INPUT_INVERTED)
			inverted |= bit;
		if (flags & INPUT_FLASHING)
			flashers |= bit;
		in->assert_after = byte_at(at + I_ASSERT);
		in->release_after = byte_at(at + I_RELEASE);
		in->off = 0xFFFF;
		if (reads_live(in, bit, &seen)) {
			live |= bit;
			plain |= bit;
			in->unmeasured = 1;
			flashing |= flashers & bit;
		}
	}
}

uint8_t is_paced(uint8_t input)
{
	const struct input *in = &inputs[input];
	return !(flashers >> input & 1) || (!in->first && in->known >= byte_at(table + T_TRUSTED));
}

/* Sweep time in ticks for a sweep that may take \`within\` at most and \`share\` (1/256) of an on-time. */
uint16_t sweep_time(uint8_t input, uint16_t within, uint8_t share)
{
	const struct input *in = &inputs[input];
	uint16_t on, time;
	uint8_t i;
	if (!(flashers >> input & 1))
		return within;
	if (is_paced(input)) {
		on = 0xFFFF;
		for (i = 0; i < in->known; i++)
			if (in->on_times[i] < on)
				on = in->on_times[i];
	} else
		on = limit(T_SHORTEST_ON);
	time = (uint32_t)on * share >> 8;
	return time < within ? time : within;
}
`,
  "layout.h": `\
/* Where the blocks lie in flash and RAM, and what the table looks like. TABLE.md says the same in words. */
#ifndef LAYOUT_H
#define LAYOUT_H

/* Flash. Table, copy, safe map and build id lie in different pages. */
#if defined(__AVR_ATmega328P__)
#define TABLE_AT 0x7000
#define COPY_AT 0x7400
#define TABLE_ROOM 0x0400
#define SAFE_MAP_AT 0x7E00
#define BUILD_ID_AT 0x7F00
#define MOST_INPUTS 8
#define MOST_CHANNELS 18
#define MOST_RULES 16
/* Ports B, C and D; reset and resonator keep theirs. */
#define PORTS 3
#define USABLE_0 0x3F
#define USABLE_1 0x3F
#define USABLE_2 0xFF
#elif defined(__AVR_ATtiny84__)
#define TABLE_AT 0x1C00
#define COPY_AT 0x1D00
#define TABLE_ROOM 0x0100
#define SAFE_MAP_AT 0x1E00
#define BUILD_ID_AT 0x1F00
#define MOST_INPUTS 4
#define MOST_CHANNELS 8
#define MOST_RULES 6
/* Ports A and B. */
#define PORTS 2
#define USABLE_0 0xFF
#define USABLE_1 0x04
#else
#error "no layout for this controller"
#endif

/* Table header, offsets in bytes; two-byte numbers have the low byte first. */
#define TABLE_VERSION 2
#define T_MAGIC 0 /* 'L' 'T' */
#define T_VERSION 2
#define T_INPUTS 3
#define T_CHANNELS 4
#define T_RULES 5
#define T_LENGTH 6
#define T_FLOOR 8
#define T_TRUSTED 9
#define T_SHORTEST_ON 10
#define T_STEADY_AFTER 12
#define T_CONTACT_GAP 14
#define T_OPERATION_GAP 16
#define T_UNSTABLE_FOR 18
#define T_RISE_WINDOW 20
#define T_FLASH_GAP 22
#define T_BODY 24

/* One input: 4 bytes. Pins are port << 4 | bit, ports counted from the controller's first. */
#define INPUT_SIZE 4
#define I_PIN 0
#define I_FLAGS 1
#define I_ASSERT 2
#define I_RELEASE 3
#define INPUT_FLASHING 0x01
#define INPUT_INVERTED 0x02

/* One channel: 4 bytes, in the order of the ports. */
#define CHANNEL_SIZE 4
#define C_PIN 0
#define C_FLAGS 1
#define C_RULES 2
#define CHANNEL_ACTIVE_HIGH 0x01

/* One rule: 12 bytes; rules stand in the order of their rank, the first that is active decides. */
#define RULE_SIZE 12
#define R_LIVE 0
#define R_FLASHING 1
#define R_FLAGS 2
#define R_SHARE 3
#define R_WITHIN 4
#define R_GAIN 6
#define R_RISE 8
#define R_FALL 10
#define RULE_SWEEP 0x01
#define RULE_FIRST_TOGETHER 0x02
#define RULE_STEEP 0x04 /* gain in steps of 16 */

/* Then, rule by rule, for every channel: level, start. Last the CRC over everything before it. */
#define TARGET_SIZE 2

/* Safe map: magic, counts, inputs (pin, flags), channels (pin, flags, inputs that light it), CRC. */
#define S_MAGIC 0 /* 'L' 'S' */
#define S_INPUTS 2
#define S_CHANNELS 3
#define S_BODY 4
#define SAFE_INPUT_SIZE 2
#define SAFE_CHANNEL_SIZE 3

/* Slots of the bit-angle modulation: bit 0 … bit 7, together one period of 4000 cycles. */
#define SLOT_0 16
#define SLOT_1 32
#define SLOT_2 64
#define SLOT_3 128
#define SLOT_4 248
#define SLOT_5 504
#define SLOT_6 1000
#define SLOT_7 2008
#define PRESCALER 8
#define PERIOD (SLOT_0 + SLOT_1 + SLOT_2 + SLOT_3 + SLOT_4 + SLOT_5 + SLOT_6 + SLOT_7)
#define SLOT_6_AT (SLOT_0 + SLOT_1 + SLOT_2 + SLOT_3 + SLOT_4 + SLOT_5)
#define SLOT_7_AT (SLOT_6_AT + SLOT_6)
#define FRAMES_PER_TICK 4
#define PATTERN_BYTES (8 * PORTS)
/* From the first load of a slot's start to its last port write. */
#define START_CYCLES (3 * PORTS)

#endif
`,
  "light.c": `\
/* Light: which rule decides each channel, sweeps, rises and falls. SEMANTICS.md sections 2, 3 and 4. */
#include "runtime.h"

enum { STILL, CHANGING, WAITING, SWEEPING };
#define NO_RULE 0xFF

/* What a rule is about to do; what it says is read from the table. */
struct rule {
	uint8_t at_once : 1; /* begun on a plain input: no sweep, no rise */
	uint8_t done : 1;    /* the sweep is over */
	/* Phase of the sweep in 1/65536, rounded down: each tick adds step and rest / time. */
	uint16_t phase, step, time, rest, carried;
	uint16_t left; /* ticks of the sweep still to come */
	uint8_t fine;  /* of a steep rule: what follows the phase, in 1/256 of its last place */
};

struct channel {
	uint16_t rules; /* which rules speak of it */
	uint8_t invert, state, rule, code, from, to;
	uint8_t start, level; /* of the sweep it waits for */
	uint16_t position, slope;
};

struct drive drives[MOST_CHANNELS];

static struct rule rules[MOST_RULES];
static struct channel channels[MOST_CHANNELS];
static uint8_t rule_count, channel_count, floor_code;
static uint16_t active;
static uint16_t rules_at, targets_at; /* addresses in flash */

static uint16_t rule_at(uint8_t index)
{
	return rules_at + (uint16_t)RULE_SIZE * index;
}

/* Code at share x (0 to 255) of a change: the square of the share when rising, of what is left when falling. */
static uint8_t shape(uint8_t from, uint8_t to, uint8_t x)
{
	uint8_t code;
	if (to >= from)
		code = from + ((uint8_t)(to - from) * (uint8_t)((uint16_t)(x * x) >> 8) >> 8);
	else {
		x = 255 - x;
		code = to + ((uint8_t)(from - to) * (uint8_t)((uint16_t)(x * x) >> 8) >> 8);
	}
	return code < floor_code ? floor_code : code;
}

static void begin_rule(struct rule *r, uint16_t at)
{
	uint8_t needs = byte_at(at + R_LIVE);
	uint8_t flags = byte_at(at + R_FLAGS);
	uint8_t share, i;
	uint16_t time;
	r->at_once = (needs & plain) != 0;
	if (!(flags & RULE_SWEEP))
		return;
	/* The shortest time that any of the rule's inputs allows. */
	time = word_at(at + R_WITHIN);
	share = byte_at(at + R_SHARE);
	for (i = 0; needs; needs >>= 1, i++) {
		if (!(needs & 1))
			continue;
		time = sweep_time(i, time, share);
		if (flags & RULE_FIRST_TOGETHER && !is_paced(i))
			r->at_once = 1;
	}
	r->phase = 0;
	r->fine = 0;
	r->done = r->at_once;
	if (time < 2)
		time = 2;
	r->time = r->left = time;
	r->carried = 0;
	/* 65536 = step × time + rest */
	r->step = 65535u / time;
	r->rest = 65535u % time + 1;
}

/* Short rises in long sweeps need more of the phase than 16 bits: carried / time, in 1/256. */
static uint8_t finer(const struct rule *r)
{
	uint16_t rest = r->carried, time = r->time;
	uint8_t bits = 8, fine = 0;
	do {
		rest <<= 1;
		fine <<= 1;
		if (rest >= time) {
			rest -= time;
			fine |= 1;
		}
	} while (--bits);
	return fine;
}

static void advance_sweep(struct rule *r, uint8_t flags)
{
	uint16_t carried = r->carried + r->rest;
	if (!--r->left) {
		r->done = 1;
		return;
	}
	r->phase += r->step;
	if (carried >= r->time) {
		carried -= r->time;
		r->phase++;
	}
	r->carried = carried;
	if (flags & RULE_STEEP)
		r->fine = finer(r);
}

static uint16_t rules_tick(void)
{
	struct rule *r = rules;
	uint16_t bit = 1, now_active = 0, at = rules_at;
	uint8_t i;
	for (i = 0; i < rule_count; i++, r++, bit <<= 1, at += RULE_SIZE) {
		uint8_t flags;
		uint8_t missing = byte_at(at + R_LIVE) & ~live;
		missing |= byte_at(at + R_FLASHING) & ~flashing;
		if (missing)
			continue;
		now_active |= bit;
		if (!(active & bit))
			begin_rule(r, at);
		flags = byte_at(at + R_FLAGS);
		if (flags & RULE_SWEEP && !r->done)
			advance_sweep(r, flags);
	}
	return now_active;
}

static void change(struct channel *ch, uint8_t to, uint16_t slope)
{
	/* On its way down to this very level, or there: it goes on as it was. */
	if (to == ch->to && ch->state != SWEEPING && ch->code >= to) {
		if (ch->state == WAITING)
			ch->state = CHANGING;
		return;
	}
	ch->to = to;
	ch->from = ch->code;
	ch->position = 0;
	ch->slope = slope;
	ch->state = CHANGING;
}

/* Another rule decides, or none does any more. */
static void hand_over(struct channel *ch, uint8_t index, uint8_t next)
{
	const struct rule *r = &rules[next];
	uint16_t fall = ch->rule == NO_RULE ? 0 : word_at(rule_at(ch->rule) + R_FALL);
	uint8_t level, is_sweep;
	uint16_t at;
	ch->rule = next;
	if (next == NO_RULE) {
		change(ch, 0, fall);
		return;
	}
	at = targets_at + TARGET_SIZE * (next * channel_count + index);
	level = byte_at(at);
	is_sweep = byte_at(rule_at(next) + R_FLAGS) & RULE_SWEEP;
	if (r->at_once || (is_sweep && r->done)) {
		change(ch, level, 0);
		return;
	}
	if (!is_sweep) {
		change(ch, level, level > ch->code ? word_at(rule_at(next) + R_RISE) : fall);
		return;
	}
	/* Dark until its turn: what a lower rule lit goes out meanwhile. */
	change(ch, 0, fall);
	ch->level = level;
	ch->start = byte_at(at + 1);
	ch->state = WAITING;
}

static uint8_t decider(uint16_t candidates)
{
	uint8_t i = 0, bits = candidates;
	if (!candidates)
		return NO_RULE;
#if MOST_RULES > 8
	if (!bits) {
		bits = candidates >> 8;
		i = 8;
	}
#endif
	if (!(bits & 0x0F)) {
		bits >>= 4;
		i += 4;
	}
	while (!(bits & 1)) {
		bits >>= 1;
		i++;
	}
	return i;
}

/* Moves a plain change on by one tick; gives the new code. */
static uint8_t move(struct channel *ch)
{
	uint16_t before = ch->position;
	if (ch->code == ch->to)
		return ch->to;
	ch->position += ch->slope;
	if (!ch->slope || ch->position < before)
		return ch->to;
	return shape(ch->from, ch->to, ch->position >> 8);
}

static uint8_t sweep(struct channel *ch)
{
	const struct rule *r = &rules[ch->rule];
	uint16_t begins = (uint16_t)ch->start << 8;
	uint16_t gain, x, passed;
	if (ch->state == WAITING) {
		if (!r->done && r->phase < begins)
			return move(ch);
		ch->state = SWEEPING;
		ch->from = ch->code;
		ch->to = ch->level;
	}
	/* Share of the sweep to share of the rise, 8.8; of a steep rule 12.4. */
	gain = word_at(rule_at(ch->rule) + R_GAIN);
	if (r->done || !gain)
		return ch->to;
	passed = r->phase - begins;
	if (byte_at(rule_at(ch->rule) + R_FLAGS) & RULE_STEEP) {
		if (passed > 255)
			return ch->to;
		x = (uint16_t)((uint32_t)(passed << 8 | r->fine) * gain >> 16) >> 4;
	} else
		x = (uint32_t)passed * gain >> 16;
	if (x > 255)
		return ch->to;
	return shape(ch->from, ch->to, x);
}

uint8_t light_tick(void)
{
	struct channel *ch = channels;
	uint16_t now_active = rules_tick();
	uint8_t decided = now_active != active;
	uint8_t changed = 0, c;
	active = now_active;
	for (c = 0; c < channel_count; c++, ch++) {
		uint8_t code;
		if (decided) {
			uint8_t next = decider(now_active & ch->rules);
			if (next != ch->rule)
				hand_over(ch, c, next);
		}
		if (ch->state == STILL)
			continue;
		code = ch->state == CHANGING ? move(ch) : sweep(ch);
		if (code == ch->to && ch->state != WAITING)
			ch->state = STILL;
		if (code == ch->code)
			continue;
		ch->code = code;
		drives[c].out = code ^ ch->invert;
		changed = 1;
	}
	return changed;
}

void light_begin(void)
{
	uint16_t at = table + T_BODY + INPUT_SIZE * byte_at(table + T_INPUTS);
	uint8_t i;
	floor_code = byte_at(table + T_FLOOR);
	channel_count = byte_at(table + T_CHANNELS);
	rule_count = byte_at(table + T_RULES);
	for (i = 0; i < channel_count; i++, at += CHANNEL_SIZE) {
		struct channel *ch = &channels[i];
		ch->rules = word_at(at + C_RULES);
		ch->invert = byte_at(at + C_FLAGS) & CHANNEL_ACTIVE_HIGH ? 0 : 0xFF;
		ch->rule = NO_RULE;
		drives[i].out = ch->invert;
	}
	rules_at = at;
	targets_at = at + RULE_SIZE * rule_count;
}
`,
  "main.c": `\
/* Start, choice of the table, and the tick. The runtime never waits for an equality: whatever is late is counted
   and caught up with. Until the first levels are known all pins stay inputs, and the circuit's pull-ups light every
   LED whose wire is live. */
#include "runtime.h"
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/power.h>
#include <avr/sleep.h>
#include <avr/wdt.h>

struct vitals vitals __attribute__((section(".vitals,\\"aw\\",@nobits;")));
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
`,
  "runtime.h": `\
/* What the parts of the runtime share. One tick is 1 ms; all times are counted in ticks. */
#ifndef RUNTIME_H
#define RUNTIME_H

#include <stdint.h>
#include <avr/io.h>
#include <avr/pgmspace.h>
#include "layout.h"

/* Read by the bench and by a programmer's memory dump, at a fixed place at the start of RAM. */
struct vitals {
	uint16_t overruns;  /* ticks that were not finished in time, stops at 65535 */
	uint16_t latest;    /* latest end of a tick's work after its beginning, in timer counts of 8 cycles */
	uint8_t serving;    /* 0 nothing, 1 table, 2 its copy, 3 safe map */
	uint8_t reset_cause; /* MCUSR at start */
	uint8_t live;       /* inputs that count as live */
	uint8_t flashing;   /* inputs with flashes going on */
};
extern struct vitals vitals;

/* Level now due on a channel, already inverted where a low pin lights, and its pin within the port. */
struct drive {
	uint8_t out;
	uint8_t mask;
};
extern struct drive drives[MOST_CHANNELS];

/* Per port: pin pattern with every channel's bit clear, and the number of channels. */
struct port {
	uint8_t base;
	uint8_t channels;
};
extern struct port ports[PORTS];

extern uint8_t patterns[2 * PATTERN_BYTES];
extern volatile uint8_t ticks_due;
void build_patterns(uint8_t *pattern);

/* Registers of the ports in the table's order. */
#if PORTS == 3
#define IN_0 PINB
#define IN_1 PINC
#define IN_2 PIND
#define OUT_0 PORTB
#define OUT_1 PORTC
#define OUT_2 PORTD
#define DIRECTION_0 DDRB
#define DIRECTION_1 DDRC
#define DIRECTION_2 DDRD
#else
#define IN_0 PINA
#define IN_1 PINB
#define OUT_0 PORTA
#define OUT_1 PORTB
#define DIRECTION_0 DDRA
#define DIRECTION_1 DDRB
#endif

/* The table in use; addresses in flash. It is read by address only, so that patching it always takes effect. */
extern uint16_t table;
static inline uint8_t byte_at(uint16_t at) { return pgm_read_byte(at); }
static inline uint16_t word_at(uint16_t at) { return pgm_read_word(at); }
uint16_t find_table(void); /* sets vitals.serving; 0: neither table nor copy is whole */
void watch_table(void); /* a little of the check-word in each tick; never returns from a table that has changed */
uint8_t safe_map_is_whole(void);
void follow_safe_map(void) __attribute__((noreturn));

/* Raw levels of the ports. */
struct sample {
	uint8_t port[PORTS];
};
struct sample look(void);

/* Inputs. */
extern uint8_t live;     /* inputs that count as live */
extern uint8_t flashing; /* inputs with flashes going on: lines without a flasher are held back */
extern uint8_t plain;    /* inputs whose present flash is shown without sweep and rise */
void inputs_begin(struct sample seen);
void inputs_tick(struct sample seen);
uint16_t sweep_time(uint8_t input, uint16_t within, uint8_t share);
uint8_t is_paced(uint8_t input); /* its on-times are known, or it does not flash */

/* Light. */
void light_begin(void);
uint8_t light_tick(void); /* 1: some code changed */

#endif
`,
  "safe-map.c": `\
/* The last resort of a chip with a damaged table: each channel is fully lit while one of its inputs is live.
   No timer, no interrupt, no filter; round and round until power is lost. */
#include "runtime.h"
#include <avr/io.h>
#include <avr/wdt.h>
#include <string.h>

struct follow {
	uint8_t port, mask, inverted;
	uint8_t lights[PORTS]; /* channel pins of each port that this input lights */
};

void follow_safe_map(void)
{
	uint8_t inputs = byte_at(SAFE_MAP_AT + S_INPUTS);
	uint8_t channels = byte_at(SAFE_MAP_AT + S_CHANNELS);
	uint8_t output[PORTS] = { 0 }, low_lights[PORTS] = { 0 };
	struct follow follows[MOST_INPUTS];
	uint16_t at = SAFE_MAP_AT + S_BODY;
	uint8_t i, c;
	memset(follows, 0, sizeof follows);
	for (i = 0; i < inputs; i++, at += SAFE_INPUT_SIZE) {
		uint8_t pin = byte_at(at + I_PIN);
		follows[i].port = pin >> 4;
		follows[i].mask = 1 << (pin & 7);
		follows[i].inverted = (byte_at(at + I_FLAGS) & INPUT_INVERTED) != 0;
	}
	for (c = 0; c < channels; c++, at += SAFE_CHANNEL_SIZE) {
		uint8_t pin = byte_at(at + C_PIN);
		uint8_t port = pin >> 4;
		uint8_t mask = 1 << (pin & 7);
		uint8_t lit_by = byte_at(at + 2);
		output[port] |= mask;
		if (!(byte_at(at + C_FLAGS) & CHANNEL_ACTIVE_HIGH))
			low_lights[port] |= mask;
		for (i = 0; i < inputs; i++)
			if (lit_by >> i & 1)
				follows[i].lights[port] |= mask;
	}
	vitals.serving = 3;
	for (;;) {
		struct sample seen = look();
		uint8_t lit[PORTS] = { 0 };
		for (i = 0; i < inputs; i++) {
			const struct follow *f = &follows[i];
			if (((seen.port[f->port] & f->mask) != 0) == f->inverted)
				continue;
			lit[0] |= f->lights[0];
			lit[1] |= f->lights[1];
#if PORTS == 3
			lit[2] |= f->lights[2];
#endif
		}
		OUT_0 = low_lights[0] ^ lit[0];
		OUT_1 = low_lights[1] ^ lit[1];
		/* After the levels: the first round turns inputs into outputs, the others change nothing. */
		DIRECTION_0 = output[0];
		DIRECTION_1 = output[1];
#if PORTS == 3
		OUT_2 = low_lights[2] ^ lit[2];
		DIRECTION_2 = output[2];
#endif
		wdt_reset();
	}
}
`,
  "table.c": `\
/* Finds a whole table: the first place whose CRC and counts are right. */
#include "runtime.h"
#include <util/crc16.h>

/* CRC-16 with polynomial 0x1021, start 0xFFFF, not reflected, over \`length\` bytes. */
static uint16_t crc_of(uint16_t at, uint16_t length)
{
	uint16_t crc = 0xFFFF;
	while (length--)
		crc = _crc_xmodem_update(crc, byte_at(at++));
	return crc;
}

_Static_assert(T_BODY + INPUT_SIZE * MOST_INPUTS + CHANNEL_SIZE * MOST_CHANNELS + RULE_SIZE * MOST_RULES +
	TARGET_SIZE * MOST_CHANNELS * MOST_RULES + 2 <= TABLE_ROOM, "the fullest table has room");

static uint8_t is_whole(uint16_t at)
{
	uint8_t inputs = byte_at(at + T_INPUTS);
	uint8_t channels = byte_at(at + T_CHANNELS);
	uint8_t rules = byte_at(at + T_RULES);
	uint16_t length;
	if (byte_at(at + T_MAGIC) != 'L' || byte_at(at + T_MAGIC + 1) != 'T' || byte_at(at + T_VERSION) != TABLE_VERSION)
		return 0;
	if (inputs > MOST_INPUTS || channels > MOST_CHANNELS || rules > MOST_RULES)
		return 0;
	length = T_BODY + INPUT_SIZE * inputs + CHANNEL_SIZE * channels + RULE_SIZE * rules +
		 (uint16_t)TARGET_SIZE * channels * rules + 2;
	if (length != word_at(at + T_LENGTH))
		return 0;
	return crc_of(at, length - 2) == word_at(at + length - 2);
}

uint16_t find_table(void)
{
	if (is_whole(TABLE_AT)) {
		vitals.serving = 1;
		return TABLE_AT;
	}
	if (is_whole(COPY_AT)) {
		vitals.serving = 2;
		return COPY_AT;
	}
	return 0;
}

/* Bytes of the table in use that are looked through in one tick. */
#define WATCHED 2

void watch_table(void)
{
	static uint16_t at, crc;
	uint16_t end = table + word_at(table + T_LENGTH) - 2;
	uint8_t i;
	if (!at) {
		at = table;
		crc = 0xFFFF;
	}
	for (i = 0; i < WATCHED; i++) {
		if (at >= end) {
			/* A bit has turned since the start: begin anew, with the copy if that is whole. */
			while (crc != word_at(end))
				;
			at = 0;
			return;
		}
		crc = _crc_xmodem_update(crc, byte_at(at++));
	}
}

uint8_t safe_map_is_whole(void)
{
	uint8_t inputs = byte_at(SAFE_MAP_AT + S_INPUTS);
	uint8_t channels = byte_at(SAFE_MAP_AT + S_CHANNELS);
	uint8_t length;
	if (byte_at(SAFE_MAP_AT + S_MAGIC) != 'L' || byte_at(SAFE_MAP_AT + S_MAGIC + 1) != 'S')
		return 0;
	if (inputs > MOST_INPUTS || channels > MOST_CHANNELS)
		return 0;
	length = S_BODY + SAFE_INPUT_SIZE * inputs + SAFE_CHANNEL_SIZE * channels;
	return crc_of(SAFE_MAP_AT, length) == word_at(SAFE_MAP_AT + length);
}
`,
}
