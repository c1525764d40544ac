import { Body, Controller, Get, Post, Query } from '@nestjs/common';
import {
  ApiBody,
  ApiCreatedResponse,
  ApiOkResponse,
  ApiOperation,
  ApiTags,
  getSchemaPath,
} from '@nestjs/swagger';
import { MechanicWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  ReadingEnvelope,
  ReadingPage,
  ReadingQuery,
  ReadingView,
  StandaloneReadingView,
} from './reading.dto.js';
import { READING_INPUTS } from './posted-kinds.js';
import { ReadingsService } from './readings.service.js';

@ApiTags('readings')
@Controller('v1/vehicles/:id/readings')
export class ReadingsController {
  constructor(private readonly readings: ReadingsService) {}

  @Post()
  @MechanicWork()
  @ApiOperation({ summary: 'Post a reading taken outside a job' })
  @ApiBody({
    schema: {
      allOf: [
        { $ref: getSchemaPath(ReadingEnvelope) },
        { oneOf: READING_INPUTS.map((type) => ({ $ref: getSchemaPath(type) })) },
      ],
    },
  })
  @ApiCreatedResponse({ type: StandaloneReadingView })
  post(@IdParam('vehicle') id: string, @Body() body: unknown): Promise<StandaloneReadingView> {
    return this.readings.post(id, body);
  }

  @Get()
  @ApiOperation({ summary: "List a vehicle's readings, latest first" })
  @ApiOkResponse({ type: ReadingPage })
  list(@IdParam('vehicle') id: string, @Query() query: ReadingQuery): Promise<Page<ReadingView>> {
    return this.readings.list(id, query);
  }
}
