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
