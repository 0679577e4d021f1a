/* The last resort of a chip with a damaged table: each channel is fully lit while one of its inputs is live.
   No timer, no interrupt, no filter; round and round until power is lost. */
#include "runtime.h"
#include <avr/io.h>
#include <avr/wdt.h>

static uint8_t live_now(uint8_t inputs)
{
	struct sample seen = look();
	uint8_t result = 0, bit = 1, i;
	uint16_t at = SAFE_MAP_AT + S_BODY;
	for (i = 0; i < inputs; i++, bit <<= 1, at += SAFE_INPUT_SIZE) {
		uint8_t pin = byte_at(at + I_PIN);
		uint8_t high = seen.port[pin >> 4] >> (pin & 7) & 1;
		if (high != (byte_at(at + I_FLAGS) & INPUT_INVERTED ? 1 : 0))
			result |= bit;
	}
	return result;
}

void follow_safe_map(void)
{
	uint8_t inputs = byte_at(SAFE_MAP_AT + S_INPUTS);
	uint8_t channels = byte_at(SAFE_MAP_AT + S_CHANNELS);
	uint8_t driving = 0;
	vitals.serving = 3;
	for (;;) {
		uint8_t seen = live_now(inputs);
		uint8_t level[3] = { 0, 0, 0 }, output[3] = { 0, 0, 0 }, c;
		uint16_t at = SAFE_MAP_AT + S_BODY + SAFE_INPUT_SIZE * inputs;
		for (c = 0; c < channels; c++, at += SAFE_CHANNEL_SIZE) {
			uint8_t pin = byte_at(at + C_PIN);
			uint8_t mask = 1 << (pin & 7);
			uint8_t lit = (byte_at(at + 2) & seen) != 0;
			uint8_t high = byte_at(at + C_FLAGS) & CHANNEL_ACTIVE_HIGH ? lit : !lit;
			output[pin >> 4] |= mask;
			if (high)
				level[pin >> 4] |= mask;
		}
		vitals.live = seen;
		PORTB = level[0];
		PORTC = level[1];
		PORTD = level[2];
		if (!driving) {
			DDRB = output[0];
			DDRC = output[1];
			DDRD = output[2];
			driving = 1;
		}
		wdt_reset();
	}
}
