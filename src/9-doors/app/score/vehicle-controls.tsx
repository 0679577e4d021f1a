// What the vehicle does: another flasher, wires held with a key or a finger, a recording dropped on the score.

import { Button, FileTrigger } from "react-aria-components"
import { usePage } from "../store.ts"
import { useVehicle, vehicle, wireKeys } from "../vehicle.ts"
import { type Flasher, flashers, isAsDescribed } from "../vehicle-does.ts"

export function VehicleControls() {
  const lamp = usePage((s) => s.played?.made.lamp)
  const does = usePage((s) => s.does)
  const busy = useVehicle((s) => s.playing)
  const words = useVehicle((s) => s.words)
  if (!lamp) return null
  const { setFlasher, press, release, openRecording, fitSignal, asDescribed } = vehicle.getState()
  const flashes = lamp.vehicle.wires.some((w) => w.role === "flashing")
  const { flasher, recording, held } = does
  return (
    <fieldset className="vehicle-controls">
      <legend className="unseen">The vehicle</legend>
      {recording ? (
        <span>Wires as recorded in {recording.name}</span>
      ) : (
        flashes && (
          <label>
            <span className="soft">Flasher</span>{" "}
            <select value={flasher} onChange={(e) => setFlasher(e.target.value as Flasher)}>
              {Object.entries(flashers).map(([key, f]) => (
                <option key={key} value={key}>
                  {f.words}
                  {f.rate !== undefined &&
                    `, ${Math.round(f.rate * 60)} /min, ${Math.round(f.onShare * 100)} %`}
                </option>
              ))}
            </select>
          </label>
        )
      )}
      <span className="hold-wires">
        <span className="soft">Hold</span>
        {wireKeys(lamp).map(({ wire, key }) => (
          <Button
            key={wire}
            className="quiet"
            data-held={held.some((h) => h.wire === wire && h.until === undefined) || undefined}
            aria-label={`Hold ${wire} ${key.toUpperCase()}`}
            onPressStart={() => press(wire)}
            onPressEnd={() => release(wire)}
          >
            {wire} <kbd>{key.toUpperCase()}</kbd>
          </Button>
        ))}
      </span>
      {recording?.signals.some((s) => !Object.values(recording.fits).includes(s)) && (
        <span className="signals">
          <span className="soft">Recorded as</span>
          {wireKeys(lamp).map(({ wire }) => (
            <label key={wire}>
              {wire}{" "}
              <select
                aria-label={`Signal of ${wire}`}
                value={recording.fits[wire] ?? ""}
                onChange={(e) => void fitSignal(wire, e.target.value === "" ? undefined : e.target.value)}
              >
                <option value="">not recorded</option>
                {recording.signals.map((s) => (
                  <option key={s}>{s}</option>
                ))}
              </select>
            </label>
          ))}
        </span>
      )}
      <FileTrigger
        acceptedFileTypes={[".vcd"]}
        onSelect={(list) => {
          const file = list?.[0]
          if (file) void openRecording(file)
        }}
      >
        <Button className="inline">Open a recording</Button>
      </FileTrigger>
      {!isAsDescribed(does) && (
        <Button className="inline" onPress={asDescribed}>
          Back to the demonstration
        </Button>
      )}
      <span className="soft vehicle-words" role="status">
        {busy ? "Playing these wires on the bench…" : words || recording?.note}
      </span>
    </fieldset>
  )
}
