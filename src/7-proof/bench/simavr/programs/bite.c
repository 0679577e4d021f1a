/* Bench program: shows MCUSR on port C, sets the watchdog to 16 ms, kicks it a few times and then hangs.
 * Build: as busy.c. */
#include <avr/io.h>
#include <avr/wdt.h>

int main(void)
{
	uint8_t i;
	uint16_t wait;
	DDRC = 0x3f;
	PORTC = MCUSR;
	MCUSR = 0;
	wdt_enable(WDTO_15MS);
	for (i = 0; i < 5; i++) {
		for (wait = 0; wait < 30000; wait++)
			__asm__ volatile("");
		wdt_reset();
		DDRB |= 1;
		PINB = 1;
	}
	for (;;)
		;
}
