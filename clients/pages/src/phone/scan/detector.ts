/** As much of the Shape Detection API as is used here. */
interface Detector {
  detect(image: ImageBitmapSource): Promise<{ rawValue: string }[]>;
}
interface DetectorClass {
  new (options: { formats: ['qr_code'] }): Detector;
  getSupportedFormats(): Promise<readonly string[]>;
}

const FORMATS: { formats: ['qr_code'] } = { formats: ['qr_code'] };

async function browsersOwn(): Promise<Detector | null> {
  const { BarcodeDetector } = globalThis as { BarcodeDetector?: DetectorClass };
  if (BarcodeDetector === undefined) return null;
  try {
    const formats = await BarcodeDetector.getSupportedFormats();
    return formats.includes('qr_code') ? new BarcodeDetector(FORMATS) : null;
  } catch {
    // Some browsers have the class, but not what it needs of the system.
    return null;
  }
}

/** What finds QR codes in a picture: the browser itself, else a library, loaded only then. */
export async function openDetector(): Promise<Detector> {
  const own = await browsersOwn();
  if (own !== null) return own;
  const { BarcodeDetector } = await import('qr/decode.js');
  return new BarcodeDetector(FORMATS);
}
