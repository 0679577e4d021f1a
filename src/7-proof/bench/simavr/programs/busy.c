/* Bench program: main loop always busy with arithmetic of varying length while timer 1 overflows in fast PWM
 * mode 14; the interrupt latency wanders and the port shows it. Every 8th overflow shows on port C, with input PD2 on PB5.
 * Build: avr-gcc -mmcu=atmega328p -Os -o busy.elf busy.c && avr-objcopy -O ihex busy.elf busy.hex */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/wdt.h>

static volatile uint8_t ticks;
static uint32_t sum = 1;

ISR(TIMER1_OVF_vect) { PINB = 1; ticks++; }
ISR(TIMER1_COMPA_vect) { PORTB ^= 2; }

int main(void)
{
	DDRB = 0x3f;
	DDRC = 0x3f;
	ICR1 = 1249;
	OCR1A = 300;
	TCCR1A = 1 << WGM11;
	TIMSK1 = 1 << TOIE1 | 1 << OCIE1A;
	TCCR1B = 1 << WGM13 | 1 << WGM12 | 1 << CS10;
	sei();
	for (;;) {
		static uint8_t shown;
		sum = sum * 1664525UL + 1013904223UL + (sum / 97 ^ (uint16_t)sum % 13);
		wdt_reset();
		if ((uint8_t)(ticks - shown) >= 8) {
			shown += 8;
			PORTC = shown;
			if (PIND & 4)
				PORTB |= 0x20;
			else
				PORTB &= ~0x20;
		}
	}
}
