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
      /**
       * Junction of a transistor: `share` of its current flows on through the third pin c, out of c into the base.
       * The base is the anode of an NPN part (`base` "a") and the cathode of a PNP part ("b", flow from the base to c).
       */
      readonly c?: number
      readonly share?: number
      readonly base?: "a" | "b"
      /** Early voltage: that share grows by (collector to base voltage ÷ early), and the rest flows to the emitter. */
      readonly early?: number
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
      /** The most it gives; absent: no limit. */
      readonly limit?: number
    }
  /** MOS channel from drain a to source b under gate c; symmetrical, no body diode (put a diode beside it). */
  | {
      readonly kind: "channel"
      readonly ref: string
      readonly a: number
      readonly b: number
      readonly c: number
      /** 1 for an N channel, −1 for a P channel. */
      readonly sign: 1 | -1
      /** Gate to source voltage (its size, for a P channel) from which it conducts well. */
      readonly threshold: number
      /** Ampere per volt²; current in saturation = gain ÷ 2 × (gate − threshold)². */
      readonly gain: number
    }
  /** A relay's contact: `onOhm` while it is made, `offOhm` while it is not, by the current of the resistor `coil`. */
  | {
      readonly kind: "contact"
      readonly ref: string
      readonly a: number
      readonly b: number
      /** Ref of the resistor that is the coil; it must stand in the network before the contact. */
      readonly coil: string
      readonly pullIn: number
      readonly dropOut: number
      /** Made at rest (a break contact) or when pulled in (a make contact). */
      readonly rest: boolean
      readonly onOhm: number
      readonly offOhm: number
      /** Held in that state whatever the coil does; absent: the coil decides, beginning at rest. */
      readonly pulled?: boolean
    }

/** Bipolar transistor, J. J. Ebers and J. L. Moll, Proc. IRE 42 (1954), p. 1761. */
export interface BipolarLaw {
  readonly type: "npn" | "pnp"
  /** Saturation current of the emitter junction, ampere. */
  readonly saturation: number
  /** Emission × thermal voltage, volt. */
  readonly nVt: number
  /** Collector current over base current, forwards and with collector and emitter changed over. */
  readonly gain: number
  readonly reverseGain: number
  /** Resistance in series with the emitter junction, ohm: raises base–emitter and saturation voltage. */
  readonly series: number
  /** Early voltage, volt: the collector current rises by its share of the collector–base voltage; absent: it does not. */
  readonly early?: number
}

/** MOS transistor: charge law that is quadratic above and exponential below threshold (see `channelCharge`). */
export interface MosLaw {
  readonly type: "n" | "p"
  readonly threshold: number
  /** Resistance of the channel, fully on with `atGate` between gate and source. */
  readonly onOhm: number
  readonly atGate: number
  /** Body diode, source to drain of an N part. */
  readonly body: { readonly saturation: number; readonly nVt: number; readonly series: number }
}

export interface RelayLaw {
  readonly coilOhm: number
  /** Coil current that surely pulls in, and below which it surely lets go, ampere. */
  readonly pullIn: number
  readonly dropOut: number
  readonly contactOhm: number
  readonly openOhm: number
}

export class Network {
  readonly names: string[] = ["0"]
  readonly elements: Element[] = []
  private readonly index: Map<string, number> = new Map([["0", 0]])
  private readonly transistors: {
    readonly ref: string
    readonly law: BipolarLaw
    readonly collector: number
    readonly base: number
  }[] = []

  /** Empty, or a copy of `like` whose list of elements is its own. */
  constructor(like?: Network) {
    if (!like) return
    this.names = [...like.names]
    this.elements = [...like.elements]
    this.transistors = like.transistors
    this.index = new Map(like.index)
  }

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
      readonly limit?: number
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
  /** Adds the junctions `ref.be` and `ref.bc`; a solution knows the currents into the pins as `ref.C`, `ref.B`, `ref.E`. */
  bipolar(
    ref: string,
    {
      collector,
      base,
      emitter,
    }: { readonly collector: string; readonly base: string; readonly emitter: string },
    law: BipolarLaw,
  ): void {
    const forward = law.gain / (1 + law.gain)
    const backward = law.reverseGain / (1 + law.reverseGain)
    const npn = law.type === "npn"
    const junction = (
      name: string,
      other: string,
      third: string,
      share: number,
      scale: number,
      series: number,
    ) =>
      this.elements.push({
        kind: "diode",
        ref: `${ref}.${name}`,
        a: this.node(npn ? base : other),
        b: this.node(npn ? other : base),
        c: this.node(third),
        base: npn ? "a" : "b",
        share,
        saturation: law.saturation * scale,
        nVt: law.nVt,
        series,
        ...(law.early !== undefined && name === "be" ? { early: law.early } : {}),
      })
    junction("be", emitter, collector, forward, 1, law.series)
    this.transistors.push({ ref, law, collector: this.node(collector), base: this.node(base) })
    // Reciprocity: both junctions share the transport saturation current, αF·IES = αR·ICS.
    junction("bc", collector, emitter, backward, forward / backward, 0)
  }
  /** Pin currents of bipolar transistors, told from the elements' currents and the nodes' voltages of a solution. */
  pinCurrents(
    current: (ref: string) => number,
    voltage: (node: number) => number,
  ): readonly (readonly [ref: string, ampere: number])[] {
    return this.transistors.flatMap(({ ref, law, collector, base }) => {
      const pins = bipolarCurrents(current, ref, law, voltage(collector) - voltage(base))
      return [
        [`${ref}.C`, pins.collector],
        [`${ref}.B`, pins.base],
        [`${ref}.E`, pins.emitter],
      ] as const
    })
  }
  /** Adds the channel `ref` (its current is the drain's) and the body diode `ref.body`. */
  mos(
    ref: string,
    { drain, gate, source }: { readonly drain: string; readonly gate: string; readonly source: string },
    law: MosLaw,
  ): void {
    const n = law.type === "n"
    this.elements.push({
      kind: "channel",
      ref,
      a: this.node(drain),
      b: this.node(source),
      c: this.node(gate),
      sign: n ? 1 : -1,
      threshold: law.threshold,
      gain: 1 / (law.onOhm * Math.max(law.atGate - law.threshold, 0.1)),
    })
    this.diode(`${ref}.body`, n ? source : drain, n ? drain : source, law.body)
  }
  /**
   * Adds the coil `ref` as a resistor from `coil[0]` to `coil[1]` and its contacts `ref.make` (common to `make`) and
   * `ref.break` (common to `rest`), each where it is wired. `pulled` holds it in one state (over time, `transient`
   * moves it: see `Relay` there); without it the operating point begins at rest and pulls in by the coil's current.
   */
  relay(
    ref: string,
    pins: {
      readonly coil: readonly [string, string]
      readonly common: string
      readonly make?: string | undefined
      readonly rest?: string | undefined
    },
    law: RelayLaw,
    pulled?: boolean,
  ): void {
    this.resistor(ref, pins.coil[0], pins.coil[1], law.coilOhm)
    for (const [name, pin] of [
      ["make", pins.make],
      ["break", pins.rest],
    ] as const) {
      if (pin === undefined) continue
      this.elements.push({
        kind: "contact",
        ref: `${ref}.${name}`,
        a: this.node(pins.common),
        b: this.node(pin),
        coil: ref,
        pullIn: law.pullIn,
        dropOut: law.dropOut,
        rest: name === "break",
        onOhm: law.contactOhm,
        offOhm: law.openOhm,
        ...(pulled === undefined ? {} : { pulled }),
      })
    }
  }
}

/** The node of an element beyond a and b; the reference where it has none. */
export const thirdPin = (e: Element): number =>
  e.kind === "regulator" || e.kind === "channel" ? e.c : e.kind === "diode" ? (e.c ?? 0) : 0

/** A limiting regulator gives a trifle more with more voltage, so that its operating point is determined, A/V. */
export const limitSlope = 1e-6

/**
 * Currents into collector, base and emitter of a solved bipolar transistor, ampere; NaN when there is none.
 * `across`: collector to base voltage, needed for the Early effect alone.
 */
export function bipolarCurrents(
  current: (ref: string) => number,
  ref: string,
  law: Pick<BipolarLaw, "type" | "gain" | "reverseGain" | "early">,
  across = 0,
): { readonly collector: number; readonly base: number; readonly emitter: number } {
  const sign = law.type === "npn" ? 1 : -1
  const f = current(`${ref}.be`)
  const r = current(`${ref}.bc`)
  const forward = (f * law.gain) / (1 + law.gain)
  const more = law.early === undefined ? 0 : (forward * Math.max(0, sign * across)) / law.early
  const collector = sign * (forward + more - r)
  const emitter = sign * ((r * law.reverseGain) / (1 + law.reverseGain) - f - more)
  return { collector, base: -collector - emitter, emitter }
}

/**
 * Current a MOS channel's end adds, and its slope: the channel carries charge(gate − source) − charge(gate − drain),
 * which is gain ÷ 2 × ((Vgs − Vt)² − (Vgd − Vt)²) above threshold, the square law, and falls off tenfold each 60 mV
 * below it (C. C. Enz, F. Krummenacher and E. A. Vittoz, Analog Integr. Circuits Signal Process. 8 (1995), p. 83,
 * with a slope factor of 1). One smooth law for all regions.
 */
export function channelCharge(
  over: number,
  gain: number,
): { readonly current: number; readonly slope: number } {
  const vt2 = 2 * 0.0259
  const u = over / vt2
  const e = Math.exp(-Math.abs(u))
  const soft = Math.max(u, 0) + Math.log1p(e)
  return {
    current: (gain / 2) * vt2 * vt2 * soft * soft,
    slope: (gain * vt2 * soft * (u > 0 ? 1 : e)) / (1 + e),
  }
}
