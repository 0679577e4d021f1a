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

/* Sweep time in ticks for a sweep that may take `within` at most and `share` (1/256) of an on-time. */
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
