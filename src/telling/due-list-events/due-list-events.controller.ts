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

- \`due-line\`: a line changed; its data are a DueLineEventData. A line that came to be in no state you show, or is not open, is to be taken away.
- \`loss-alert\`: an alert was raised or changed; LossAlertEventData.
- \`day\`: another day has begun in the fleet's zone, and with it states have changed by themselves; DayEventData. Load the list anew.
- \`reset\`: what happened while you were away cannot be told, or a line went to a depot that your token is not bound to; ResetEventData. Load the list anew.

A change may be told more than once, and always as things stand when it is told. Each event has an id, and a comment every 15 seconds carries one as well: come back with it as \`Last-Event-ID\` within 6 hours, and nothing is left out. Without it the stream begins now. It ends when the token is revoked or expires, and when the process does; come back after the time that \`retry\` gave.`,
  })
  @ApiHeader({
    name: 'Last-Event-ID',
    required: false,
    description: 'The id that was received last; one that is too old or not ours is answered by `reset`',
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
