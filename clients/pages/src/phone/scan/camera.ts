/** Why there is no picture. */
export type CameraFault = 'refused' | 'none' | 'busy' | 'not-https';

/** The camera gives no picture. */
export class CameraError extends Error {
  override readonly name = 'CameraError';
  constructor(
    readonly fault: CameraFault,
    cause?: unknown,
  ) {
    super(`no picture from a camera: ${fault}`, { cause });
  }
}

const FAULTS: Readonly<Record<string, CameraFault>> = {
  NotAllowedError: 'refused',
  SecurityError: 'refused',
  NotFoundError: 'none',
  OverconstrainedError: 'none',
};

/**
 * Opens the camera at the back of the phone, if there is a choice.
 *
 * @throws CameraError
 */
export async function openCamera(): Promise<MediaStream> {
  // Browsers offer the camera only on https pages.
  const devices = (navigator as { mediaDevices?: MediaDevices }).mediaDevices;
  if (devices === undefined) throw new CameraError('not-https');
  try {
    return await devices.getUserMedia({
      audio: false,
      video: { facingMode: 'environment', width: { ideal: 1280 }, height: { ideal: 720 } },
    });
  } catch (fault) {
    const name = fault instanceof DOMException ? fault.name : '';
    throw new CameraError(FAULTS[name] ?? 'busy', fault);
  }
}

export function closeCamera(stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
}
