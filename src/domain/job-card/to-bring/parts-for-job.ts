import type { Message } from '../../message.js';
import { componentTerm } from '../../intervals/terms.js';
import type { WorkLine } from '../../intervals/types.js';
import { isTakenApart } from '../work/card-work.js';
import { message } from '../messages.js';

/** A part to take along, as the spec sheet has it. */
export interface CardPart {
  component: string;
  description: string;
  quantity: number;
  partNumber: string | null;
}

/**
 * The parts of the sheet for the lines asked, and the components that it has none for.
 *
 * @example partsForJob([{ component: 'thermostat', action: 'inspect', item: null }], sheet).parts // []: looking uses no parts up
 */
export function partsForJob(
  lines: readonly WorkLine[],
  sheet: { parts: readonly CardPart[]; belts: readonly { designation: string | null }[] },
): { parts: CardPart[]; missing: Message[] } {
  const wanted = new Set<string>(lines.filter(usesParts).map(({ component }) => component));
  const parts = sheet.parts.filter(({ component }) => wanted.has(component));
  const without = new Set(
    lines
      .filter(({ component, action }) => action === 'replace' && component !== 'coolant')
      .map(({ component }) => component)
      .filter((component) => !parts.some((part) => part.component === component))
      // A belt is known by its designation.
      .filter((component) => component !== 'drive-belt' || !sheet.belts.some((belt) => belt.designation)),
  );
  return {
    parts: parts.map((part) => ({ ...part })),
    missing: without.size === 0 ? [] : [message('card-no-part', { parts: [...without].map(componentTerm) })],
  };
}

/** Looking, testing and adjusting use no parts up. */
function usesParts(line: WorkLine): boolean {
  return (
    (isTakenApart(line) && line.action !== 'adjust') ||
    line.component === 'coolant' ||
    line.action === 'flush'
  );
}
