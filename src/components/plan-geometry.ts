/**
 * Positions of the cylinders, seen from above, with the front of the engine at the left. Lengths are in units of one
 * bore spacing.
 */
import type { Layout } from '../../worker/core/engine.ts';
import { neighboursOf } from '../../worker/core/layouts.ts';

export interface PlanSpot {
  readonly cylinder: number;
  readonly x: number;
  readonly y: number;
}

interface PlanLink {
  readonly from: PlanSpot;
  readonly to: PlanSpot;
}

export interface PlanDrawing {
  readonly width: number;
  readonly height: number;
  /** Radius of a cylinder's circle. */
  readonly radius: number;
  readonly spots: readonly PlanSpot[];
  /** Pairs of cylinders that share a gasket. */
  readonly links: readonly PlanLink[];
  /** The crankshaft's centre line; `null` unless it lies between two rows. */
  readonly axisY: number | null;
  readonly isRadial: boolean;
  /** Rotors are drawn as rounded triangles within their circles. */
  readonly isRotary: boolean;
}

const PLAN_RADIUS = 0.41;
const MARGIN = 0.5;

/** Lays out the plan of any engine layout, in units of one bore spacing. */
export function planDrawing(layout: Layout): PlanDrawing {
  return layout.kind === 'radial' ? radialDrawing(layout) : rowsDrawing(layout);
}

function rowsDrawing(layout: Layout): PlanDrawing {
  const rows = layout.rows.filter((row) => row.length > 0);
  // The banks of a flat engine are far apart. Those of a vee are close, one set back half a bore because rods share
  // crank pins.
  const pitch = layout.kind === 'flat' ? 1.5 : 1.12;
  const setBack = layout.kind === 'vee' || layout.kind === 'flat' ? 0.28 : 0;
  const spots = rows.flatMap((row, r) =>
    row.map(
      (cylinder, i): PlanSpot => ({ cylinder, x: MARGIN + i + (r % 2) * setBack, y: MARGIN + r * pitch }),
    ),
  );
  return {
    width: Math.max(0, ...spots.map((spot) => spot.x)) + MARGIN,
    height: Math.max(0, ...spots.map((spot) => spot.y)) + MARGIN,
    radius: PLAN_RADIUS,
    spots,
    links: linksOf(layout, spots),
    axisY: rows.length === 2 ? MARGIN + pitch / 2 : null,
    isRadial: false,
    isRotary: layout.kind === 'rotors',
  };
}

/** Cylinder 1 at the top, the others clockwise, on a radius where circles do not touch. */
function radialDrawing(layout: Layout): PlanDrawing {
  const round = layout.rows.flat();
  const reach = round.length < 2 ? 0 : Math.max(0.85, 0.5 / Math.sin(Math.PI / round.length));
  const centre = reach + MARGIN;
  const spots = round.map((cylinder, i): PlanSpot => {
    const angle = (2 * Math.PI * i) / round.length;
    return { cylinder, x: centre + reach * Math.sin(angle), y: centre - reach * Math.cos(angle) };
  });
  return {
    width: 2 * centre,
    height: 2 * centre,
    radius: PLAN_RADIUS,
    spots,
    links: linksOf(layout, spots),
    axisY: null,
    isRadial: true,
    isRotary: false,
  };
}

function linksOf(layout: Layout, spots: readonly PlanSpot[]): PlanLink[] {
  return neighboursOf(layout).flatMap(([a, b]) => {
    const from = spots.find((spot) => spot.cylinder === a);
    const to = spots.find((spot) => spot.cylinder === b);
    return from && to ? [{ from, to }] : [];
  });
}

/** SVG path of a rotor around (0, 0): a triangle of arcs with its corners on the circle of `radius`, one to the right. */
export function rotorPath(radius: number): string {
  const corners = [0, 1, 2].map((i) => {
    const angle = (2 * Math.PI * i) / 3;
    return `${round(radius * Math.cos(angle))} ${round(radius * Math.sin(angle))}`;
  });
  const arc = round(radius * 2.4);
  const sides = [1, 2, 0].map((i) => `A ${arc} ${arc} 0 0 1 ${corners[i]}`).join(' ');
  return `M ${corners[0]} ${sides} Z`;
}

/**
 * SVG path of a circle around (0, 0), filled from below to `share` of its height. `null` when empty. `share` is clamped
 * to 0..1; at 1 the whole circle is filled.
 */
export function levelPath(share: number, radius: number): string | null {
  const level = Math.min(1, Math.max(0, share));
  if (level === 0) return null;
  if (level === 1) {
    return `M ${-radius} 0 A ${radius} ${radius} 0 1 0 ${radius} 0 A ${radius} ${radius} 0 1 0 ${-radius} 0 Z`;
  }
  const y = radius * (1 - 2 * level);
  const x = Math.sqrt(Math.max(0, radius * radius - y * y));
  const largeArc = level > 0.5 ? 1 : 0;
  return `M ${round(-x)} ${round(y)} A ${radius} ${radius} 0 ${largeArc} 0 ${round(x)} ${round(y)} Z`;
}

const round = (value: number): number => Math.round(value * 1e4) / 1e4;
