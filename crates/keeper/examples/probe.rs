//! probe
use keeper::*;
fn main() {
    let dir = std::env::temp_dir().join(format!("probe{}", std::process::id()));
    let day: AsOf = std::env::args().nth(1).unwrap().parse().unwrap();
    let season: demo::Season = std::env::args().nth(2).unwrap().parse().unwrap();
    demo::make_book(&dir, season, day).unwrap();
    let t = std::time::Instant::now();
    let keeper = Keeper::open(&dir, &Opening { still_at: Some(day), ..Opening::default() }).unwrap();
    println!("open {:?}", t.elapsed());
    let t = std::time::Instant::now();
    let morning = keeper.morning().unwrap();
    println!("morning {:?}", t.elapsed());
    for b in &morning.boxes { println!("{} {:?} moult={:?} leaf={:?} {:?}", b.name, b.expected.iter().map(|e| format!("{} {}", e.n, e.stage)).collect::<Vec<_>>(), b.in_moult.as_ref().map(|m| (m.share, m.about_n, m.until.to_string())), b.leaf_fresh_g.map(|l| l.q90), b.tasks); }
    for l in &morning.lines { println!("{l:?}"); }
    println!("bells {:?}", morning.bells);
    for line in keeper.look().house.lines() {
        let t = std::time::Instant::now();
        let b = keeper.brood(&line).unwrap().unwrap();
        println!("{line} brood {:?} moved {:?} warnings {:?}", t.elapsed(), b.moved, b.warnings);
        for s in &b.stages { println!("  {} middle {} {} {} | {} | reach {:?}", s.name, s.middle.q10, s.middle.q50, s.middle.q90, s.says, s.reach_n); }
        for s in &b.strip { println!("  strip {} {:?} n{} {:?} {:?}", s.name, s.state, s.n, s.from.map(|d| d.to_string()), s.to.map(|d| d.to_string())); }
        let t = std::time::Instant::now();
        let o = keeper.odds(&line).unwrap().unwrap();
        println!("  odds {:?} {} {} {:?} males {:?} females {:?} {:?}", t.elapsed(), o.chance, o.says, o.reasons, o.males, o.females, o.when);
        for l in &o.levers { println!("   lever {} {} +{} -{}", l.chance, l.what, l.better_in_100, l.worse_in_100); }
        for l in &o.history { println!("   {} {} {}", l.on, l.chance, l.because); }
    }
    let l = keeper.leaf().unwrap();
    println!("leaf {} | {:?} | to_spin {:?} eaten {:?} peak {:?} own {:?} warn {:?}", l.says, l.today, l.to_spinning, l.eaten_to_spinning, l.peak, l.own_rate, l.warnings);
    let t = keeper.trouble().unwrap();
    println!("trouble {} {:?} {:?}", t.says, t.losses, t.air);
    for b in &t.bells { println!("  bell {b:?}"); }
    std::fs::remove_dir_all(dir).unwrap();
}
