import { Controller, Get, Query, Req, Res } from '@nestjs/common';
import { ApiExtraModels, ApiHeader, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import {
  DayEventData,
  DueLineEventData,
  DueListEventsQuery,
  LossAlertEventData,
  ResetEventData,
} from './due-list-events.dto.js';
import { DueListEventsService } from './due-list-events.service.js';

@ApiTags('due list')
@ApiExtraModels(DueLineEventData, LossAlertEventData, DayEventData, ResetEventData)
@Controller('v1/due-list/events')
export class DueListEventsController {
  constructor(private readonly events: DueListEventsService) {}

  @Get()
  @ApiOperation({
    summary: 'Hear of every change to the due list and the loss alerts as it happens',
    description: `Server-sent events, without an end. Open the stream, then load the list, and put into it what the stream tells.

- \`due-line\`: a line changed; its data are a DueLineEventData. Remove a line that is no longer open, or is in a state that you do not show.
- \`loss-alert\`: an alert was raised or changed; LossAlertEventData.
- \`day\`: another day has begun in the fleet's zone, and states have changed with the date; DayEventData. Reload the list.
- \`reset\`: events were missed that cannot be repeated, or a line went to a depot that your token is not bound to; ResetEventData. Reload the list.

A change may be told more than once, always with the current data. Each event has an id, and so has a comment every 15 seconds. Reconnect with it as \`Last-Event-ID\` within 6 hours and you miss nothing. Without it the stream begins now. The stream ends when the token is revoked or expires, and when the process ends; reconnect after the time that \`retry\` gives.`,
  })
  @ApiHeader({
    name: 'Last-Event-ID',
    required: false,
    description: 'The id that was received last; one that is too old or unknown is answered by `reset`',
  })
  @ApiResponse({
    status: 200,
    description: 'The events',
    content: { 'text/event-stream': { schema: { type: 'string' } } },
  })
  stream(
    @Query() query: DueListEventsQuery,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    return this.events.stream(query, request, reply);
  }
}
