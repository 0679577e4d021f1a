/* The last resort of a chip with a damaged table: each channel is fully lit while one of its inputs is live.
   No timer, no interrupt, no filter; round and round until power is lost. */
#include "runtime.h"
#include <avr/io.h>
#include <avr/wdt.h>

struct follow {
	uint8_t port, mask, inverted;
	uint8_t lights[3]; /* channel pins of each port that this input lights */
};

static struct follow follows[MOST_INPUTS];

void follow_safe_map(void)
{
	uint8_t inputs = byte_at(SAFE_MAP_AT + S_INPUTS);
	uint8_t channels = byte_at(SAFE_MAP_AT + S_CHANNELS);
	uint8_t output[3] = { 0, 0, 0 }, low_lights[3] = { 0, 0, 0 };
	uint16_t at = SAFE_MAP_AT + S_BODY;
	uint8_t i, c;
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
		uint8_t lit[3] = { 0, 0, 0 };
		for (i = 0; i < inputs; i++) {
			const struct follow *f = &follows[i];
			if (((seen.port[f->port] & f->mask) != 0) == f->inverted)
				continue;
			lit[0] |= f->lights[0];
			lit[1] |= f->lights[1];
			lit[2] |= f->lights[2];
		}
		PORTB = low_lights[0] ^ lit[0];
		PORTC = low_lights[1] ^ lit[1];
		PORTD = low_lights[2] ^ lit[2];
		/* After the levels: the first round turns inputs into outputs, the others change nothing. */
		DDRB = output[0];
		DDRC = output[1];
		DDRD = output[2];
		wdt_reset();
	}
}
