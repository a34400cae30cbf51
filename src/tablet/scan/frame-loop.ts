/** Calls for each new frame of a video: by the browser's own callback, or by looking ten times a second. */

const LOOK_MS = 100;

/** @returns a function that stops the loop */
export function eachFrame(video: HTMLVideoElement, onFrame: () => void): () => void {
  return 'requestVideoFrameCallback' in video ? byCallback(video, onFrame) : byTimer(video, onFrame);
}

function byCallback(video: HTMLVideoElement, onFrame: () => void): () => void {
  const next = (): void => {
    handle = video.requestVideoFrameCallback(next);
    onFrame();
  };
  let handle = video.requestVideoFrameCallback(next);
  return () => video.cancelVideoFrameCallback(handle);
}

function byTimer(video: HTMLVideoElement, onFrame: () => void): () => void {
  let shown = video.currentTime;
  const timer = setInterval(() => {
    if (video.currentTime === shown) return;
    shown = video.currentTime;
    onFrame();
  }, LOOK_MS);
  return () => clearInterval(timer);
}
