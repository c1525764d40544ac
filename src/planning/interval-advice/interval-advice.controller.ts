import { Controller, Get, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { ReaderUnits } from '../../platform/presenting/reader-units.js';
import { IntervalAdviceQuery, IntervalAdviceView } from './interval-advice.dto.js';
import { IntervalAdviceService } from './interval-advice.service.js';

@ApiTags('interval advice')
@Controller('v1/interval-advice')
export class IntervalAdviceController {
  constructor(private readonly advice: IntervalAdviceService) {}

  @Get()
  @ApiOperation({
    summary: "Ask which replacement interval the fleet's own failures suggest, or why there is no answer yet",
  })
  @ApiOkResponse({ type: IntervalAdviceView })
  advise(@Query() query: IntervalAdviceQuery, @ReaderUnits() units: UnitSystem): Promise<IntervalAdviceView> {
    return this.advice.advise(query, units);
  }
}
