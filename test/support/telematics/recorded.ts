import { readFileSync } from 'node:fs';

/**
 * A document as a source sends it: written from the published specifications, with invented
 * machines.
 */
export function recorded(name: string): Uint8Array {
  return readFileSync(new URL(`recorded/${name}`, import.meta.url));
}
