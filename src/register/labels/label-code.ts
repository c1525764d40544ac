const FLEET_BYTES = 16;
/** 32 bytes in base64url. The last character holds four bits only. */
const CODE = /^[A-Za-z0-9_-]{42}[AEIMQUYcgkosw048]$/;

/**
 * The path of the page that a label leads to. Short, because it is in the QR code. The code in it
 * is the fleet and 128 random bits. As the fleet is known from the code, a label is looked for
 * among the fleet's own rows only.
 */
export function pathOfLabel(fleetId: string, secret: Buffer): string {
  const fleet = Buffer.from(fleetId.replaceAll('-', ''), 'hex');
  return `/l/${Buffer.concat([fleet, secret]).toString('base64url')}`;
}

/** Reads the code of a label. Null when it cannot be one. */
export function readCode(code: string): { fleetId: string; secret: Buffer } | null {
  if (!CODE.test(code)) return null;
  const bytes = Buffer.from(code, 'base64url');
  const hex = bytes.subarray(0, FLEET_BYTES).toString('hex');
  const fleetId = hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
  return { fleetId, secret: bytes.subarray(FLEET_BYTES) };
}
