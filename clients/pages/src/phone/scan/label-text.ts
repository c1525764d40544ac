/** What the text of a QR code leads to. */
export type Labelled = { is: 'label'; code: string } | { is: 'vehicle'; id: string };

const LABEL = /\/l\/([A-Za-z0-9_-]{43})(?:[/?#].*)?$/;
const VEHICLE =
  /\/(?:phone\/v|desk\/vehicles)\/([0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12})(?:[/?#].*)?$/i;

/**
 * Reads the text of a QR code. Null: it is no label of a vehicle. The server in the address does
 * not matter: labels outlive the address that was printed on them, and the code says the rest.
 */
export function readLabelText(text: string): Labelled | null {
  const code = LABEL.exec(text.trim())?.[1];
  if (code !== undefined) return { is: 'label', code };
  const id = VEHICLE.exec(text.trim())?.[1];
  return id === undefined ? null : { is: 'vehicle', id: id.toLowerCase() };
}
