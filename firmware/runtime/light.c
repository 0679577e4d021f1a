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
