/** Getting a stream that is fit for reading symbols, and what its track can do. */

/** The camera that was chosen for this tablet. Kept by the caller: scanning stores nothing. */
export interface CameraChoice {
  /** Device id, or null where nobody chose. */
  readonly remembered: () => string | null;
  readonly remember: (deviceId: string) => void;
}

export type GetUserMedia = (constraints: MediaStreamConstraints) => Promise<MediaStream>;

/** Three pixels a module at 20–30 cm; without asking, many tablets give 640 × 480. */
const SIZE: MediaTrackConstraints = { width: { ideal: 1920 }, height: { ideal: 1080 } };
/** A decoder takes ten pictures a second at most; a higher rate is only warmth. */
const RATE: MediaTrackConstraints = { frameRate: { ideal: 30, max: 30 } };

/** Not in TypeScript's DOM: W3C MediaStream Image Capture. */
interface Capabilities extends MediaTrackCapabilities {
  readonly torch?: boolean;
  readonly focusMode?: readonly string[];
}

/**
 * The chosen camera, or where that is gone or none was chosen, the one that looks away from the person.
 * @throws as `getUserMedia` does
 */
export async function askForStream(
  getUserMedia: GetUserMedia,
  deviceId: string | null,
): Promise<MediaStream> {
  const rear = { audio: false, video: { ...SIZE, ...RATE, facingMode: { ideal: 'environment' } } };
  if (deviceId === null) return getUserMedia(rear);
  try {
    return await getUserMedia({ audio: false, video: { ...SIZE, ...RATE, deviceId: { exact: deviceId } } });
  } catch (failure) {
    const gone = failure instanceof Error && ['OverconstrainedError', 'NotFoundError'].includes(failure.name);
    if (!gone) throw failure;
    return getUserMedia(rear);
  }
}

/** Continuous focus where the camera offers it. A camera that then declines is used as it is. */
export async function focusContinuously(track: MediaStreamTrack): Promise<void> {
  if (capabilities(track).focusMode?.includes('continuous') !== true) return;
  await applyQuietly(track, { focusMode: 'continuous' });
}

/** Whether the track has a torch. Most browsers other than Chrome on Android say no. */
export function hasTorch(track: MediaStreamTrack): boolean {
  return capabilities(track).torch === true;
}

/** Switches the torch and says whether the camera obeyed. */
export function switchTorch(track: MediaStreamTrack, on: boolean): Promise<boolean> {
  return applyQuietly(track, { torch: on });
}

/** The cameras to choose from. Labels are empty until the camera was allowed once. */
export async function listCameras(): Promise<
  readonly { readonly deviceId: string; readonly label: string }[]
> {
  const devices = (await navigator.mediaDevices?.enumerateDevices()) ?? [];
  return devices
    .filter(({ kind }) => kind === 'videoinput')
    .map(({ deviceId, label }) => ({ deviceId, label }));
}

export function endStream(stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
}

function capabilities(track: MediaStreamTrack): Capabilities {
  // Older Firefox has no getCapabilities.
  return (track.getCapabilities?.() as Capabilities | undefined) ?? {};
}

async function applyQuietly(
  track: MediaStreamTrack,
  wish: { torch?: boolean; focusMode?: string },
): Promise<boolean> {
  try {
    await track.applyConstraints({ advanced: [wish as MediaTrackConstraintSet] });
    return true;
  } catch {
    // A wish, not a need: symbols are read without it, only less well.
    return false;
  }
}
