; Bench program: timer 1 in fast PWM mode 14, period 4000 cycles, three interrupts write the ports; the main
; loop sleeps, counts on port C and mirrors input pin PD2 to PB5. Build:
;   avr-gcc -mmcu=atmega328p -nostartfiles -x assembler-with-cpp -o slots.elf slots.S
;   avr-objcopy -O ihex slots.elf slots.hex
#define __SFR_OFFSET 0
#include <avr/io.h>
	.section .text
	.org 0
	jmp	start
	.org 0x2c
	jmp	compare_a
	.org 0x30
	jmp	compare_b
	.org 0x34
	jmp	overflow
	.org 0x68
start:	ldi	r16, hi8(RAMEND)
	out	SPH, r16
	ldi	r16, lo8(RAMEND)
	out	SPL, r16
	ldi	r16, 0x3f
	out	DDRB, r16
	out	DDRC, r16
	ldi	r16, 0
	mov	r10, r16
	ldi	r16, hi8(499)
	sts	ICR1H, r16
	ldi	r16, lo8(499)
	sts	ICR1L, r16
	ldi	r16, 0
	sts	OCR1AH, r16
	ldi	r16, 61
	sts	OCR1AL, r16
	ldi	r16, 0
	sts	OCR1BH, r16
	ldi	r16, 186
	sts	OCR1BL, r16
	ldi	r16, (1<<OCIE1A)|(1<<OCIE1B)|(1<<TOIE1)
	sts	TIMSK1, r16
	ldi	r16, (1<<WGM11)
	sts	TCCR1A, r16
	ldi	r16, (1<<WGM13)|(1<<WGM12)|(1<<CS11)
	sts	TCCR1B, r16
	ldi	r16, (1<<SE)
	out	SMCR, r16
	sei
main:	sleep
	inc	r10
	out	PORTC, r10
	in	r16, PIND
	sbrc	r16, 2
	sbi	PORTB, 5
	sbrs	r16, 2
	cbi	PORTB, 5
	rjmp	main
overflow:
	sbi	PORTB, 0
	cbi	PORTB, 1
	cbi	PORTB, 2
	reti
compare_a:
	sbi	PORTB, 1
	cbi	PORTB, 0
	reti
compare_b:
	sbi	PORTB, 2
	cbi	PORTB, 1
	reti
