import type { DueState } from '../../domain/intervals/types.js';
import { DueLineFilters } from '../../conclusions/due-list/due-list.dto.js';
import { ApiHideProperty } from '@nestjs/swagger';
import { ChoiceList, CivilDate, Text } from '../../platform/fields/fields.js';

/** `no-baseline` is left out: such a line has no date. */
export const CALENDAR_STATES: readonly DueState[] = ['late', 'due', 'window', 'not-due'];

export class CalendarFeedQuery extends DueLineFilters {
  @ChoiceList(CALENDAR_STATES, {
    optional: true,
    description:
      'All four unless given: lines ahead of their window too, or no alarm could tell that it opens',
  })
  state?: string;
  @CivilDate({ optional: true, description: 'Lines that are due before this day' }) dueBefore?: string;
  /** Checked before the handler is called. The API document describes it as a way to sign in. */
  @ApiHideProperty()
  @Text({ optional: true, max: 60 })
  token?: string;
}
