import type { z } from 'zod';
import type { Role } from '../lib/contract/codes';
import type { Model } from '../lib/contract/tables';
import type { DesignClass } from './codes';
import { isoOf, yearOf } from './calendar';
import { models, type ScenarioModel } from './models';
import type { RandomStream } from './random';

const byPlace = new Map<string, ScenarioModel[]>();
for (const model of models) {
  for (const place of [`${model.role} ${model.design}`, `${model.role} ${model.design} ${model.maker}`]) {
    byPlace.set(place, [...(byPlace.get(place) ?? []), model]);
  }
}

/** A model sold in that year: the maker's own where it has one, any maker's where not. */
export function chooseModel(random: RandomStream, role: Role, design: DesignClass, maker: string, year: number): ScenarioModel {
  const calendarYear = Math.floor(year);
  const sold = (place: string) => (byPlace.get(place) ?? []).filter((m) => m.from <= calendarYear && (m.to === null || calendarYear <= m.to));
  const own = sold(`${role} ${design} ${maker}`);
  return random.one(own.length > 0 ? own : sold(`${role} ${design}`));
}

/** First and last use of every model, gathered while the procedures stream by. */
export class ModelUse {
  private readonly use = new Map<ScenarioModel, { first: number; last: number }>();

  record(model: ScenarioModel, day: number): void {
    const seen = this.use.get(model);
    if (seen) seen.last = day;
    else this.use.set(model, { first: day, last: day });
  }

  /** The catalogue. A model sold to the end, or never implanted, has no last day of use. */
  rows(closingDay: number): z.infer<typeof Model>[] {
    return models.map((model) => {
      const seen = this.use.get(model);
      const withdrawn = model.to !== null && model.to < Math.floor(yearOf(closingDay));
      return {
        model_code: model.code, maker_code: model.maker, role: model.role, design_class: model.design,
        fixation_intended: model.fixation, bearing_material: model.material,
        first_used: seen ? isoOf(seen.first) : null,
        last_used: seen && withdrawn ? isoOf(seen.last) : null,
      };
    });
  }
}
