import { Controller, Get } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import { FirstStepsView } from './first-steps.dto.js';
import { FirstStepsService } from './first-steps.service.js';

@ApiTags('fleet')
@Controller('v1/first-steps')
export class FirstStepsController {
  constructor(private readonly firstSteps: FirstStepsService) {}

  @Get()
  @ManagerWork()
  @ApiOperation({ summary: 'What a new fleet still lacks, in the order to do it, and why' })
  @ApiOkResponse({ type: FirstStepsView })
  get(): Promise<FirstStepsView> {
    return this.firstSteps.get();
  }
}
