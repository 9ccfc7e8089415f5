use super::*;

#[test]
fn scratch() {
    use Kind::*;
    let all = [Mass, Volume, Density, Share, Temperature, Pressure, Drops, DropsPerVolume];
    for line in std::fs::read_to_string("/tmp/lines").unwrap().split('\n') {
        match read(line, &all) {
            Ok(r) => println!("{line:30} | {r} | {} {:?} {:?} {}", r.base(), r.doubt(), r.basis(), r.last_place()),
            Err(e) => println!("{line:30} !! {:?} {e} -- {} @ {:?}", e.kind(), e.hint().unwrap_or(""), e.place().map(|p| &p.text[p.at..p.at + p.len])),
        }
    }
}
