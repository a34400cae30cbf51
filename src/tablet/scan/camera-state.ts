/** What a page shows of the camera. The keypad and the wedge are equal ways in whatever this says. */
export type CameraState =
  | { readonly kind: 'off'; readonly why: 'stopped' | 'idle' | 'hidden' }
  | { readonly kind: 'starting' }
  | { readonly kind: 'live'; readonly torch: 'absent' | 'off' | 'on' }
  /** Somebody, or the tablet's policy, said no. Only a change of the permission helps. */
  | { readonly kind: 'refused' }
  /** `insecure`: browsers give no camera to a page that did not come over HTTPS. */
  | { readonly kind: 'none'; readonly why: 'no-camera' | 'insecure' }
  /** Another program has it, or the device failed; tried again by itself. */
  | { readonly kind: 'busy' }
  /** It ran and gives no good pictures any more; tried again by itself with a fresh stream. */
  | { readonly kind: 'lost'; readonly why: 'ended' | 'muted' | 'frozen' };

/** What a failed `getUserMedia` or `play` means. Names: W3C Media Capture and Streams, `getUserMedia` errors. */
export function stateOfFailure(failure: unknown): CameraState {
  switch (failure instanceof Error || failure instanceof DOMException ? failure.name : '') {
    case 'NotAllowedError':
    case 'SecurityError':
      return { kind: 'refused' };
    case 'NotFoundError':
    case 'OverconstrainedError':
      return { kind: 'none', why: 'no-camera' };
    default:
      return { kind: 'busy' };
  }
}
