import { Choice } from '../fields/fields.js';

/** The query parameter that asks to try out a change without keeping it. */
export class DryRunQueryDto {
  @Choice(['true', 'false'], { optional: true, description: 'true: show the effect and store nothing' })
  dryRun?: string;
}
