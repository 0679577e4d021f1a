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
