// The network the solver works on: named nodes and elements. Node 0 is the reference (battery minus).

export type Element =
  | {
      readonly kind: "resistor"
      readonly ref: string
      readonly a: number
      readonly b: number
      readonly ohm: number
    }
  /** Anode a, cathode b. */
  | {
      readonly kind: "diode"
      readonly ref: string
      readonly a: number
      readonly b: number
      readonly saturation: number
      /** Emission × thermal voltage, volt. */
      readonly nVt: number
      readonly series: number
    }
  /** a is `volt` above b at no load; `ohm` 0 makes it ideal. */
  | {
      readonly kind: "source"
      readonly ref: string
      readonly a: number
      readonly b: number
      readonly volt: number
      readonly ohm: number
    }
  /** Current from a to b as a rising piecewise-linear function of the voltage; the end slopes go on. */
  | {
      readonly kind: "curve"
      readonly ref: string
      readonly a: number
      readonly b: number
      /** At least two points, voltage and current both rising. */
      readonly points: readonly (readonly [volt: number, ampere: number])[]
      /** Where it most likely works; a hint for the first step. */
      readonly start: number
    }
  /** Series regulator from a (in) to b (out) against c (earth): never gives current backwards. */
  | {
      readonly kind: "regulator"
      readonly ref: string
      readonly a: number
      readonly b: number
      readonly c: number
      readonly volt: number
      /** Output resistance while it regulates. */
      readonly ohm: number
      /** Resistance of the pass element when it cannot. */
      readonly dropout: number
      /** Volt that is lost even at the smallest current (a bipolar pass element); absent: none. */
      readonly headroom?: number
      /** Own current, flowing a to c. */
      readonly quiescent: number
    }

export class Network {
  readonly names: string[] = ["0"]
  readonly elements: Element[] = []
  private readonly index = new Map<string, number>([["0", 0]])

  /** The node of that name, made on first use. */
  node(name: string): number {
    const known = this.index.get(name)
    if (known !== undefined) return known
    const made = this.names.length
    this.index.set(name, made)
    this.names.push(name)
    return made
  }
  has(name: string): boolean {
    return this.index.has(name)
  }
  resistor(ref: string, a: string, b: string, ohm: number): void {
    this.elements.push({ kind: "resistor", ref, a: this.node(a), b: this.node(b), ohm })
  }
  diode(
    ref: string,
    anode: string,
    cathode: string,
    law: { readonly saturation: number; readonly nVt: number; readonly series: number },
  ): void {
    this.elements.push({ kind: "diode", ref, a: this.node(anode), b: this.node(cathode), ...law })
  }
  source(ref: string, plus: string, minus: string, volt: number, ohm = 0): void {
    this.elements.push({ kind: "source", ref, a: this.node(plus), b: this.node(minus), volt, ohm })
  }
  curve(ref: string, a: string, b: string, points: readonly (readonly [number, number])[], start = 0): void {
    this.elements.push({ kind: "curve", ref, a: this.node(a), b: this.node(b), points, start })
  }
  regulator(
    ref: string,
    input: string,
    output: string,
    earth: string,
    law: {
      readonly volt: number
      readonly ohm: number
      readonly dropout: number
      readonly headroom?: number
      readonly quiescent: number
    },
  ): void {
    this.elements.push({
      kind: "regulator",
      ref,
      a: this.node(input),
      b: this.node(output),
      c: this.node(earth),
      ...law,
    })
  }
}
