'use client';
import Link from 'next/link';
import { usePathname, useRouter } from 'next/navigation';
import type { MouseEvent } from 'react';
import { lastSearch } from '../parts/address';
import './shell.css';
import { WhatMayLeave } from './WhatMayLeave';

const pages = [
  { href: '/', label: 'Compare' },
  { href: '/visits/', label: 'Before revision' },
  { href: '/unit/', label: 'Our unit' },
  { href: '/screening/', label: 'Screening' },
  { href: '/monitoring/', label: 'Over time' },
  { href: '/review/', label: 'Review' },
  { href: '/plan/', label: 'Plan' },
  { href: '/data/', label: 'Data' },
  { href: '/dictionary/', label: 'Dictionary' },
  { href: '/method/', label: 'Method' },
] as const;

/** Coming back to a page brings back the question that was on it. */
export function Header() {
  const here = usePathname();
  const router = useRouter();
  const backToQuestion = (event: MouseEvent, href: string) => {
    if (here === href || lastSearch(href) === '' || event.metaKey || event.ctrlKey || event.shiftKey) return;
    event.preventDefault();
    router.push(`${href}${lastSearch(href)}`);
  };
  return (
    <header className="site-header">
      <p className="name">Implant survivorship workbench</p>
      <nav aria-label="Pages">
        <ul>
          {pages.map(({ href, label }) => (
            <li key={href}>
              <Link href={href} prefetch={false} aria-current={here === href ? 'page' : href !== '/' && here.startsWith(href) ? 'true' : undefined} onClick={(event) => { backToQuestion(event, href); }}>{label}</Link>
            </li>
          ))}
        </ul>
      </nav>
      <WhatMayLeave />
    </header>
  );
}
