'use client';
import Link from 'next/link';
import { usePathname, useRouter } from 'next/navigation';
import type { MouseEvent } from 'react';
import { lastSearch } from '../compare/address';
import './shell.css';

const pages = [
  { href: '/', label: 'Compare' },
  { href: '/data/', label: 'Data' },
  { href: '/dictionary/', label: 'Dictionary' },
  { href: '/method/', label: 'Method' },
] as const;

/** Coming back to the comparison brings back the question that was on the page. */
export function Header() {
  const here = usePathname();
  const router = useRouter();
  const backToQuestion = (event: MouseEvent) => {
    if (here === '/' || event.metaKey || event.ctrlKey || event.shiftKey) return;
    event.preventDefault();
    router.push(`/${lastSearch()}`);
  };
  return (
    <header className="site-header">
      <p className="name">Implant survivorship workbench</p>
      <nav aria-label="Pages">
        <ul>
          {pages.map(({ href, label }) => (
            <li key={href}>
              <Link href={href} prefetch={false} aria-current={here === href ? 'page' : undefined} {...(href === '/' && { onClick: backToQuestion })}>{label}</Link>
            </li>
          ))}
        </ul>
      </nav>
    </header>
  );
}
