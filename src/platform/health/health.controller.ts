import { Controller, Get, Header } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiProperty, ApiTags } from '@nestjs/swagger';
import { HealthService, type Readiness } from './health.service.js';

class Alive {
  @ApiProperty({ enum: ['alive'] }) status!: 'alive';
}

class Ready implements Readiness {
  @ApiProperty({ enum: ['ready'] }) status!: 'ready';
  @ApiProperty({ enum: ['up'] }) database!: 'up';
  @ApiProperty({ enum: ['up-to-date'] }) migrations!: 'up-to-date';
  @ApiProperty({ enum: ['up'] }) queue!: 'up';
}

@ApiTags('health')
@Controller('health')
export class HealthController {
  constructor(private readonly health: HealthService) {}

  @Get('live')
  @Header('cache-control', 'no-store')
  @ApiOperation({ summary: 'Whether the process answers' })
  @ApiOkResponse({ type: Alive })
  live(): Alive {
    return { status: 'alive' };
  }

  @Get('ready')
  @Header('cache-control', 'no-store')
  @ApiOperation({
    summary: 'Whether it can work',
    description:
      '200 if database and queue answer and the migrations are up to date; otherwise a 503 that names what is not available.',
  })
  @ApiOkResponse({ type: Ready })
  ready(): Promise<Ready> {
    return this.health.readiness();
  }
}
