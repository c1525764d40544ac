import { closeCamera, openCamera } from './camera.js';
import { openDetector } from './detector.js';

/** A hand is steady for about this long. */
const BETWEEN_LOOKS_MS = 150;

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/**
 * Shows what the camera sees, and tells of each QR code in it, once until another is seen. Ends
 * when the signal does, and lets go of the camera then.
 *
 * @param onCode says whether to go on looking
 * @throws CameraError
 */
export async function scan(
  video: HTMLVideoElement,
  signal: AbortSignal,
  { onPicture, onCode }: { onPicture: () => void; onCode: (text: string) => void },
): Promise<void> {
  const [stream, detector] = await Promise.all([openCamera(), openDetector()]);
  try {
    if (signal.aborted) return;
    video.srcObject = stream;
    await video.play();
    onPicture();
    let last: string | null = null;
    while (!signal.aborted) {
      const text = (await detector.detect(video))[0]?.rawValue ?? null;
      if (signal.aborted) return;
      if (text !== null && text !== last) onCode(text);
      last = text ?? last;
      await pause(BETWEEN_LOOKS_MS);
    }
  } finally {
    video.srcObject = null;
    closeCamera(stream);
  }
}
