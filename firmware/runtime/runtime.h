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
