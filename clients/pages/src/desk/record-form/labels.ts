import type { UnitSystem } from '../../../../../src/domain/quantities/measures.js';
import { unitInWords } from '../../../../../src/domain/quantities/wording.js';
import { tell } from '../../kit/texts/tell.js';
import { unitOf } from './draft.js';
import { message } from './messages.js';
import type { Choices, Draft, LeafPart } from './shape.js';

/** What a chosen value is called. */
export function nameOf(choices: Choices, value: string): string {
  const [, name] = choices.find(([one]) => one === value) ?? [value, value];
  return typeof name === 'string' ? name : tell(name);
}

/** What a field is called, with its unit. */
export function labelOf(part: LeafPart, draft: Draft, units: UnitSystem): string {
  const quantity = unitOf(part, draft, units);
  const unit = part.is === 'number' ? part.unit : quantity && unitInWords(quantity);
  const label = tell(part.label);
  return unit ? tell(message('desk-record-with-unit', { label, unit })) : label;
}
