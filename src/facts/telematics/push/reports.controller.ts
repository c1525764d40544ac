import { Body, Controller, HttpCode, Post } from '@nestjs/common';
import { RouteConfig } from '@nestjs/platform-fastify';
import { ApiBody, ApiConsumes, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { TelematicsWork } from '../../../platform/access/access.js';
import type { TakesCsvBytes } from '../../../platform/csv/csv-bytes.js';
import { IdParam } from '../../../platform/input/id-param.js';
import { IntakeView } from '../sources/telematics-source.dto.js';
import { ReportsInput } from './reports.dto.js';
import { ReportsService } from './reports.service.js';

/** Room for ten thousand machines. */
const MOST_BYTES = 4 * 1024 * 1024;

const TAKES: TakesCsvBytes = { takesCsvFrom: ['manager', 'telematics'], bodyLimit: MOST_BYTES };

@ApiTags('telematics')
@Controller('v1/telematics-sources/:id/reports')
export class ReportsController {
  constructor(private readonly reports: ReportsService) {}

  @Post()
  @HttpCode(200)
  @TelematicsWork()
  @RouteConfig(TAKES)
  @ApiOperation({
    summary: 'Post what machines report, as JSON or CSV, to a source of the kind push',
    description:
      'Takes what can be taken, and says what was refused. CSV has a header with `at` and `vin`, `serial_number` or `equipment_id`, and any of `make`, `model`, `odometer_km` or `odometer_mi`, `engine_hours`, `coolant_temperature_c` or `coolant_temperature_f`, `fault_code`, `fault_active`, `fault_count`.',
  })
  @ApiConsumes('application/json', 'text/csv')
  @ApiBody({ type: ReportsInput })
  @ApiOkResponse({ type: IntakeView })
  post(@IdParam('telematics source') id: string, @Body() body: unknown): Promise<IntakeView> {
    return this.reports.take(id, body);
  }
}
