// What no computation takes off the builder; always in sight.

export function Cautions() {
  return (
    <footer className="cautions">
      <p>
        <strong>At the cutter</strong> wear eye protection. <strong>At the bench</strong> use a fused supply.{" "}
        <strong>At the vehicle</strong> disconnect the battery first.
      </p>
      <p>A hand-built lamp is not type-approved; local law and licensed practice decide.</p>
    </footer>
  )
}
