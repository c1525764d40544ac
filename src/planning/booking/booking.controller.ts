import { Body, Controller, HttpCode, Post, Req } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyRequest } from 'fastify';
import { ManyLinesResult } from '../../conclusions/due-list/many-lines.dto.js';
import { ManagerWork } from '../../platform/access/access.js';
import { readerOf } from '../../platform/presenting/reader-of-request.js';
import { BookInput } from './booking.dto.js';
import { BookingService } from './booking.service.js';

@ApiTags('visits')
@Controller('v1/visits')
export class BookingController {
  constructor(private readonly booking: BookingService) {}

  @Post('book')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({
    summary: 'Book visits for up to 200 due lines on a day, each answered by itself',
    description:
      'The lines of a vehicle become one visit at its depot; they join the visit that the vehicle already has on that day. A line that is refused keeps no other from being booked. Cancelling the visit takes it back.',
  })
  @ApiOkResponse({ type: ManyLinesResult })
  book(@Body() input: BookInput, @Req() request: FastifyRequest): Promise<ManyLinesResult> {
    return this.booking.bookMany(input, readerOf(request));
  }
}
