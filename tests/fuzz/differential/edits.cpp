// What a person and an editor do to the programs of a scenario.
#include "fuzz/differential/programs.h"

#include <algorithm>
#include <cctype>

namespace turnwright::fuzz {
namespace {

constexpr const char* shop_names[] = {"turnwright.toml", "sub/turnwright.toml", "shaft.turnwright.toml"};

class Writer {
public:
    Writer(std::uint32_t seed, const std::vector<std::string>& samples) : random_(seed), samples_(samples) {
        scenario_.seed = seed;
        constexpr const char* encodings[] = {"utf-16", "utf-16", "utf-8", "utf-32"};
        scenario_.encoding = random_.pick(encodings);
        scenario_.push = random_.one_in(3);
    }

    Scenario write() {
        scenario_.batches.emplace_back();
        if (random_.one_in(2)) put({Step::Kind::write, "turnwright.toml", make_shop_file(random_), {}});
        for (const char* name : disk_names)
            if (random_.one_in(2)) put({Step::Kind::write, name, make_library(random_), {}});
        const std::size_t documents = 1 + random_.below(document_names.size());
        for (std::size_t i = 0; i < documents; ++i) open(i);
        for (std::size_t batches = 8 + random_.below(9); batches > 0; --batches) {
            scenario_.batches.emplace_back();
            for (std::size_t steps = 1 + random_.below(3); steps > 0; --steps) one_step();
        }
        return std::move(scenario_);
    }

private:
    void put(Step step) {
        follow(step, scenario_.encoding, open_, order_);
        scenario_.batches.back().push_back(std::move(step));
    }

    void open(std::size_t document) {
        put({Step::Kind::open, document_names[document], make_program(random_, document, samples_), {}});
    }

    void one_step() {
        const std::size_t document = random_.below(document_names.size());
        const std::string name = document_names[document];
        const bool is_open = open_.contains(name);
        switch (random_.below(40)) {
        case 0:
            return put({Step::Kind::write, random_.pick(shop_names), make_shop_file(random_), {}});
        case 1:
            return put({Step::Kind::write, "shaft.turnwright.toml", make_job_file(random_), {}});
        case 2:
            return put({Step::Kind::erase, random_.pick(shop_names), {}, {}});
        case 3:
            return put({Step::Kind::write, random_.pick(disk_names), make_library(random_), {}});
        case 4:
            return put({Step::Kind::erase, random_.pick(disk_names), {}, {}});
        case 5:
            if (is_open) return put({Step::Kind::save, name, {}, {}});
            return open(document);
        case 6:
            if (is_open && open_.size() > 1) return put({Step::Kind::close, name, {}, {}});
            if (!is_open) return open(document);
            break;
        case 7:
        case 8:
            return put({Step::Kind::ask, random_.pick(order_), {}, {}});
        default:
            break;
        }
        change(is_open ? name : random_.pick(order_));
    }

    void change(const std::string& name) {
        Step step{Step::Kind::change, name, {}, {}};
        text_ = open_[name].text;
        if (random_.one_in(3)) near_ = random_.below(text_.line_count());
        near_ = std::min(near_, text_.line_count() - 1);
        for (std::size_t edits = random_.one_in(4) ? 1 + random_.below(5) : 1; edits > 0; --edits) edit(step);
        put(std::move(step));
    }

    void add(Step& step, Place begin, Place end, std::string text) {
        step.edits.push_back({false, begin, end, std::move(text)});
        text_.apply(step.edits.back());
    }

    Place place(std::size_t line, std::size_t byte) const {
        return {static_cast<std::uint32_t>(line), text_.characters_before(line, byte)};
    }
    Place line_start(std::size_t line) const {
        return line < text_.line_count() ? place(line, 0) : text_.end();
    }

    /// Most keys are typed near each other.
    std::size_t some_line() {
        const std::size_t spread = random_.one_in(4) ? 200 : 6,
                          from = near_ > spread / 2 ? near_ - spread / 2 : 0;
        return std::min(from + random_.below(spread), text_.line_count() - 1);
    }
    std::size_t some_byte(std::size_t line) {
        const std::string_view text = text_.line(line);
        std::size_t at = random_.below(text.size() + 1);
        while (at > 0 && at < text.size() && (text[at] & 0xC0) == 0x80) --at; // not inside a character
        return at;
    }
    std::string line_end() {
        const std::string_view own = text_.line_end(some_line());
        return own.empty() || random_.one_in(10) ? "\n" : std::string(own);
    }

    void edit(Step& step) {
        const std::size_t line = some_line();
        const std::string_view text = text_.line(line);
        switch (random_.below(20)) {
        default: // a digit
            for (std::size_t at = some_byte(line); at < text.size(); ++at)
                if (std::isdigit(static_cast<unsigned char>(text[at])))
                    return add(step, place(line, at), place(line, at + 1),
                               std::string(1, static_cast<char>('0' + random_.below(10))));
            [[fallthrough]];
        case 8:
        case 9:
        case 10:
            return put_in(step, line);
        case 11:
            return add(step, line_start(line), line_start(line + 1 + random_.below(3)), "");
        case 12:
            return add(step, line_start(line), line_start(line + 4 + random_.below(60)), "");
        case 13: { // the same lines again, elsewhere
            const std::size_t from = random_.below(text_.line_count());
            return add(step, line_start(line), line_start(line),
                       std::string(text_.lines(from, 1 + random_.below(80))));
        }
        case 14: // a key at a time
            return type(step, line);
        case 15: // two lines become one, or one two
            if (random_.one_in(2)) return add(step, place(line, text.size()), line_start(line + 1), "");
            return split(step, line);
        case 16: {
            constexpr std::string_view odd[] = {"(",        ")",
                                                "%",        "/",
                                                "\xC3\xA9", "\xF0\x9F\x94\xA7",
                                                ";",        "#",
                                                "[",        "]",
                                                "T",        "N",
                                                " ",        "-",
                                                "\r",       ".",
                                                "X",        "G",
                                                "O",        "0",
                                                "\xC2\xA0", "\xEF\xBF\xBD",
                                                "\x01",     "\n"};
            const Place at = place(line, some_byte(line));
            return add(step, at, at, std::string(random_.pick(odd)));
        }
        case 17: // some characters away
            return add(step, place(line, some_byte(line)), place(line, text.size()), "");
        case 18: { // another line end
            constexpr std::string_view ends[] = {"\n", "\r\n", "\r"};
            if (line + 1 >= text_.line_count()) return put_in(step, line);
            return add(step, place(line, text.size()), line_start(line + 1), std::string(random_.pick(ends)));
        }
        case 19:
            return rarely(step, line);
        }
    }

    void split(Step& step, std::size_t line) {
        const Place at = place(line, some_byte(line));
        add(step, at, at, line_end());
    }

    void put_in(Step& step, std::size_t line) {
        const std::string end = line_end();
        std::string lines = make_lines(random_) + '\n';
        if (end != "\n")
            for (std::size_t at = 0; (at = lines.find('\n', at)) != std::string::npos; at += end.size())
                lines.replace(at, 1, end);
        add(step, line_start(line), line_start(line), lines);
    }

    void type(Step& step, std::size_t line) {
        Place at = place(line, some_byte(line));
        for (const char c : make_lines(random_)) {
            if (static_cast<unsigned char>(c) >= 0x80) continue;
            add(step, at, at, std::string(1, c));
            if (c == '\n')
                at = {at.line + 1, 0};
            else
                ++at.character;
        }
    }

    void rarely(Step& step, std::size_t line) {
        switch (random_.below(5)) {
        case 0: // lines upwards
            if (line + 2 < text_.line_count()) {
                const std::string moved(text_.lines(line, 2));
                add(step, line_start(line), line_start(line + 2), "");
                const std::size_t to = random_.below(line + 1);
                add(step, line_start(to), line_start(to), moved);
            }
            return;
        case 1: // past the ends, which are clamped
            return add(step, {static_cast<std::uint32_t>(text_.line_count()), 0},
                       {static_cast<std::uint32_t>(text_.line_count() + 5), 99}, "M30\n");
        case 2:
            return add(step, {static_cast<std::uint32_t>(line), 0},
                       {static_cast<std::uint32_t>(line), 100'000}, make_lines(random_));
        case 3: // everything, a little different
            step.edits.push_back({true, {}, {}, text_.whole() + make_lines(random_)});
            return text_.apply(step.edits.back());
        default: // most of it
            return add(step, line_start(line), line_start(line + text_.line_count() / 2), "");
        }
    }

    Random random_;
    const std::vector<std::string>& samples_;
    Scenario scenario_;
    OpenTexts open_;
    std::vector<std::string> order_;
    ClientText text_;
    std::size_t near_ = 0;
};

} // namespace

Scenario make_scenario(std::uint32_t seed, const std::vector<std::string>& samples) {
    return Writer(seed, samples).write();
}

} // namespace turnwright::fuzz
