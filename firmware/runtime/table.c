/* Finds a whole table: the first place whose CRC and counts are right. */
#include "runtime.h"
#include <util/crc16.h>

/* CRC-16 with polynomial 0x1021, start 0xFFFF, not reflected, over `length` bytes. */
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
