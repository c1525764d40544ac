import { encodeQR } from 'qr';

/** The page that reads the code from the fragment of its address. */
const PAGE = '/sign-in';

/** The address of a sign-in link. Browsers keep the fragment to themselves, so no log gets it. */
export function signInAddress(base: string, secret: string): string {
  return `${base.replace(/\/+$/, '')}${PAGE}#${secret}`;
}

/** The address as a QR code: an SVG picture. */
export function qrCodeOf(address: string): string {
  return encodeQR(address, 'svg', { ecc: 'medium' });
}
