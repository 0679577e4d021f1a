/* Light: which rule decides each channel, sweeps, rises and falls. SEMANTICS.md sections 2, 3 and 4. */
#include "runtime.h"

enum { STILL, CHANGING, WAITING, SWEEPING };
#define NO_RULE 0xFF

struct rule {
	uint8_t needs_live, needs_flashing, is_sweep, within;
	uint16_t gain;       /* sweep share to rise share, 8.8 */
	uint16_t rise, fall; /* part of 65536 per tick, 0 = at once */
	uint16_t row;        /* address of its targets */
	uint8_t at_once;     /* begun on a plain input */
	uint8_t done;        /* the sweep is over */
	/* Phase of the sweep in 1/65536, rounded down: each tick adds step and rest / time. */
	uint16_t phase, step;
	uint8_t time, rest, carried;
	uint8_t left; /* ticks of the sweep still to come */
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

/* The shortest time that any of the rule's inputs allows. */
static uint8_t begin_sweep_time(const struct rule *r)
{
	uint8_t bits, i = 0, time = r->within;
	for (bits = r->needs_live; bits; bits >>= 1, i++)
		if (bits & 1)
			time = sweep_time(i, time);
	return time;
}

static void begin_rule(struct rule *r)
{
	r->at_once = (r->needs_live & plain) != 0;
	if (!r->is_sweep)
		return;
	r->phase = 0;
	r->done = r->at_once;
	if (!r->at_once) {
		uint8_t time = begin_sweep_time(r);
		if (time < 2)
			time = 2;
		r->time = r->left = time;
		r->carried = 0;
		/* 65536 = step × time + rest */
		r->step = 65535u / time;
		r->rest = 65535u % time + 1;
	}
}

static void advance_sweep(struct rule *r)
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
}

static uint16_t rules_tick(void)
{
	struct rule *r = rules;
	uint16_t bit = 1, now_active = 0;
	uint8_t i;
	for (i = 0; i < rule_count; i++, r++, bit <<= 1) {
		if ((r->needs_live & live) != r->needs_live || (r->needs_flashing & flashing) != r->needs_flashing)
			continue;
		now_active |= bit;
		if (!(active & bit))
			begin_rule(r);
		if (r->is_sweep && !r->done)
			advance_sweep(r);
	}
	return now_active;
}

static void change(struct channel *ch, uint8_t to, uint16_t slope)
{
	if (to == ch->to && ch->state != SWEEPING) {
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
	uint16_t fall = ch->rule == NO_RULE ? 0 : rules[ch->rule].fall;
	uint8_t level;
	uint16_t at;
	ch->rule = next;
	if (next == NO_RULE) {
		change(ch, 0, fall);
		return;
	}
	at = r->row + TARGET_SIZE * index;
	level = byte_at(at);
	if (r->at_once || (r->is_sweep && r->done)) {
		change(ch, level, 0);
		return;
	}
	if (!r->is_sweep) {
		change(ch, level, level > ch->code ? r->rise : fall);
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
	if (!bits) {
		bits = candidates >> 8;
		i = 8;
	}
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
	uint16_t x;
	if (ch->state == WAITING) {
		if (!r->done && r->phase < begins)
			return move(ch);
		ch->state = SWEEPING;
		ch->from = ch->code;
		ch->to = ch->level;
	}
	x = (uint32_t)(uint16_t)(r->phase - begins) * r->gain >> 16;
	if (r->done || !r->gain || x > 255)
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
	for (i = 0; i < rule_count; i++, at += RULE_SIZE) {
		struct rule *r = &rules[i];
		r->needs_live = byte_at(at + R_LIVE);
		r->needs_flashing = byte_at(at + R_FLASHING);
		r->is_sweep = byte_at(at + R_FLAGS) & RULE_SWEEP;
		r->within = byte_at(at + R_WITHIN);
		r->gain = word_at(at + R_GAIN);
		r->rise = word_at(at + R_RISE);
		r->fall = word_at(at + R_FALL);
	}
	for (i = 0; i < rule_count; i++, at += TARGET_SIZE * channel_count)
		rules[i].row = at;
}
