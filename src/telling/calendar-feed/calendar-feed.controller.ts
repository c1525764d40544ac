import { Controller, Get, Query, Req, Res } from '@nestjs/common';
import {
  ApiBearerAuth,
  ApiOkResponse,
  ApiOperation,
  ApiProduces,
  ApiResponse,
  ApiSecurity,
  ApiTags,
} from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Roles } from '../../platform/access/access.js';
import { Clock } from '../../platform/clock/clock.js';
import { isNotModified } from '../../platform/http/response-cache.js';
import { CalendarFeedQuery } from './calendar-feed.dto.js';
import { CalendarFeedService } from './calendar-feed.service.js';

@ApiTags('due list')
@Controller('v1/due-list.ics')
export class CalendarFeedController {
  constructor(
    private readonly clock: Clock,
    private readonly feed: CalendarFeedService,
  ) {}

  @Get()
  @Roles('manager', 'mechanic', 'dashboard', 'calendar')
  @ApiOperation({
    summary: 'Subscribe to the due list as a calendar',
    description:
      'iCalendar (RFC 5545): an all-day event on the day a line is due, with an alarm on the day its window opens. An event keeps its UID until the work is done; then it leaves the feed, and the next time is another event. A visit that was confirmed is an event of its own, on its day, until its work is done. SEQUENCE rises with every change. At most 5,000 events, those that are due first; the description of the calendar says where there are more. A calendar token may stand in the address as `token`; no other may.',
  })
  @ApiBearerAuth('bearer')
  @ApiSecurity('calendarToken')
  @ApiProduces('text/calendar')
  @ApiOkResponse({ description: 'The calendar', schema: { type: 'string' } })
  @ApiResponse({ status: 304, description: 'Nothing has changed since the answer with this ETag' })
  async read(
    @Query() query: CalendarFeedQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<string | undefined> {
    if (isNotModified(request, reply, this.clock)) {
      void reply.status(304);
      return undefined;
    }
    void reply
      .header('content-type', 'text/calendar; charset=utf-8')
      .header('content-disposition', 'inline; filename="due-list.ics"');
    return this.feed.read(query);
  }
}
