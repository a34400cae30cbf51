import { actions } from '../../words/bench.ts';
import { cameraLines } from '../../words/scans.ts';
import type { Acts, CameraView } from '../app/acts.ts';

/** What the camera sees, with a frame to aim with; where there is no picture, what to do instead. */
export function CameraWindow({
  camera,
  acts,
  keypadOpen,
}: {
  readonly camera: CameraView;
  readonly acts: Acts;
  readonly keypadOpen: boolean;
}) {
  const line = cameraLines[camera.is];
  const canStart =
    camera.is === 'off' || camera.is === 'lost' || camera.is === 'busy' || camera.is === 'refused';
  return (
    <section aria-label="Scanning">
      <div class="camera">
        <video ref={acts.cameraElement} muted playsInline autoPlay tabIndex={-1} />
        {camera.is === 'live' ? (
          <>
            <div class="frame" />
            <p class="held">{line.says}</p>
          </>
        ) : canStart ? (
          <button type="button" class="says" onClick={() => acts.startCamera()}>
            <b>{line.says}</b>
            {line.next}
          </button>
        ) : (
          <p class="says">
            <b>{line.says}</b>
            {line.next}
          </p>
        )}
      </div>
      <div class="ways">
        <button
          type="button"
          class="button"
          aria-pressed={keypadOpen}
          onClick={() => acts.keypad(!keypadOpen)}
        >
          {keypadOpen ? actions.closeKeypad : actions.typeIt}
        </button>
        {camera.is === 'live' && camera.lamp !== 'none' ? (
          <button type="button" class="button" onClick={() => acts.lamp(camera.lamp === 'off')}>
            {camera.lamp === 'off' ? actions.light : actions.lightOff}
          </button>
        ) : null}
      </div>
    </section>
  );
}
