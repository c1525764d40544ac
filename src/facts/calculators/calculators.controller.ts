import { applyDecorators, Body, Controller, HttpCode, Param, Post, type Type } from '@nestjs/common';
import { ApiBody, ApiExcludeEndpoint, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Evaluation } from '../../domain/evaluation/evaluation.js';
import { Problem } from '../../platform/problems/problem.js';
import { answerClass, type CalculatorName, CALCULATORS } from './calculator-answers.js';
import { CALCULATOR_EXAMPLES } from './calculator-examples.js';
import {
  BeltCalculation,
  BoilOverCalculation,
  DilutionCalculation,
  FreezePointCalculation,
  HoldTestCalculation,
  ProjectionCalculation,
  TorqueSetCalculation,
  VacuumFillCalculation,
} from './calculator.dto.js';
import { CalculatorsService } from './calculators.service.js';
import { message } from './messages.js';

/** The `POST` route of one calculator, with an example request in the API document. */
function CalculatorRoute(name: CalculatorName, summary: string, input: Type): MethodDecorator {
  const { title, request } = CALCULATOR_EXAMPLES[name];
  return applyDecorators(
    Post(name),
    HttpCode(200),
    ApiOperation({
      summary,
      description: 'Nothing is stored. An impossible value is answered with a 422 that names the field.',
    }),
    ApiBody({ type: input, examples: { worked: { summary: title, value: request } } }),
    ApiOkResponse({ type: answerClass(name), description: 'The evaluation' }),
  );
}

@ApiTags('calculators')
@Controller('v1/calculators')
export class CalculatorsController {
  constructor(private readonly calculators: CalculatorsService) {}

  @CalculatorRoute('hold-test', 'Judge a vacuum or pressure hold test', HoldTestCalculation)
  holdTest(@Body() input: HoldTestCalculation): Evaluation {
    return this.calculators.holdTest(input);
  }

  @CalculatorRoute(
    'freeze-point',
    'Turn a reading of coolant into strength and freeze point',
    FreezePointCalculation,
  )
  freezePoint(@Body() input: FreezePointCalculation): Evaluation {
    return this.calculators.freezePoint(input);
  }

  @CalculatorRoute('dilution', 'Work out what to drain and replace', DilutionCalculation)
  dilution(@Body() input: DilutionCalculation): Evaluation {
    return this.calculators.dilution(input);
  }

  @CalculatorRoute('boil-over', 'Work out where coolant boils under a cap', BoilOverCalculation)
  boilOver(@Body() input: BoilOverCalculation): Evaluation {
    return this.calculators.boilOver(input);
  }

  @CalculatorRoute('vacuum-fill', 'Work out what a vacuum fill draws in', VacuumFillCalculation)
  vacuumFill(@Body() input: VacuumFillCalculation): Evaluation {
    return this.calculators.vacuumFill(input);
  }

  @CalculatorRoute('torque-set', 'Judge the torques of a group of fasteners', TorqueSetCalculation)
  torqueSet(@Body() input: TorqueSetCalculation): Evaluation {
    return this.calculators.torqueSet(input);
  }

  @CalculatorRoute('belt', "Read a belt's designation, alignment and slip", BeltCalculation)
  belt(@Body() input: BeltCalculation): Evaluation {
    return this.calculators.belt(input);
  }

  @CalculatorRoute('projection', 'Project when an interval comes due', ProjectionCalculation)
  projection(@Body() input: ProjectionCalculation): Evaluation {
    return this.calculators.projection(input);
  }

  @Post(':name')
  @ApiExcludeEndpoint()
  unknown(@Param('name') name: string): never {
    throw new Problem(
      404,
      'no-such-calculator',
      message('calculator-unknown', { name: name.slice(0, 60), known: CALCULATORS }),
    );
  }
}
