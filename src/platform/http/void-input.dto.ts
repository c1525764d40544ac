import { Text } from '../fields/fields.js';

/** What is said when something on record is voided. */
export class VoidInput {
  @Text({ max: 500, min: 3, description: 'Why it is taken back' }) reason!: string;
}
