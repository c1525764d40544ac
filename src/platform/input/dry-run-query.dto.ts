import { Choice } from '../fields/fields.js';

/** The query parameter that asks to try out a change without keeping it. */
export class DryRunQueryDto {
  @Choice(['true', 'false'], { optional: true, description: 'true: say what it would do, and keep nothing' })
  dryRun?: string;
}
